"""Flying geese: twice as wide as high, one large triangle between two small ones."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from catalog.cutting.units.cutting_method import Method, PrintLay, UnitPiece
from catalog.cutting.units.face_shapes import polygon
from catalog.cutting.units.sized_unit import SizedUnit
from catalog.cutting.units.steps.cloth_geometry import (
    Panel,
    as_panel,
    beside,
    in_a_row,
    opened,
    piece,
)
from catalog.cutting.units.steps.diagonal_steps import falling, flip_steps, rising, trimmed_unit
from catalog.cutting.units.steps.sewing_steps import Step, StepLine
from catalog.cutting.units.steps.straight_steps import step
from catalog.cutting.units.surd import Surd
from catalog.cutting.units.triangle_sides import HALF_TRIANGLE, QUARTER_TRIANGLE, triangle_side
from catalog.cutting.units.unit_kind import UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import FINISHED, SEAM, UNFINISHED
from catalog.lengths import EIGHTH

NAME = "flying-geese"
_HALF = Fraction(1, 2)


def _one_steps(sized: SizedUnit) -> tuple[Step, ...]:
    goose, small = sized.cuts
    base, seam = piece(float(goose.width), float(goose.height), 0), float(sized.seam)
    sides = float(small.width)
    laid = step("lay", "Lay out a rectangle and two small squares.",
                in_a_row([piece(sides, sides, 1), base, piece(sides, sides, 1)]))  # fmt: skip
    steps, unit = flip_steps(base, sides, ("upper left", "upper right"), 1, seam)
    return (laid, *steps, *trimmed_unit(unit, sized))


def _four_steps(sized: SizedUnit) -> tuple[Step, ...]:
    side, small = (float(cut.width) for cut in sized.cuts)
    seam, line = float(sized.seam), falling(side)
    large = piece(side, side, 0)
    corners = [piece(small, small, 1).moved(at, at).cloths[0] for at in (0.0, side - small)]
    seen = Panel((*large.cloths, *(replace(one, wrong_side=True) for one in corners)), side, side)
    sewn = [StepLine("sew", *beside(*line, away)) for away in (seam, -seam)]
    # The upper right half, its right angle still at the upper right corner.
    half = opened(large.cloths, corners, beside(*line, seam))
    third = piece(small, small, 1).moved(side - small, 0.0).cloths[0]
    shown = Panel((*half, replace(third, wrong_side=True)), side, side)
    across = rising(side)
    again = [StepLine("sew", *beside(*across, away)) for away in (seam, -seam)]
    goose = opened(half, [third], beside(*across, seam))
    wide, high = float(sized.trim), float(sized.trim_height)
    one = Panel(goose, side, side).within((side - wide) / 2, 0.0, wide, high).turned().turned()
    whole = as_panel(goose).turned().turned()
    return (
        step("lay", "Lay two small squares face down in opposite corners of the large one and mark "
             "the diagonal.", seen, [StepLine("mark", *line)]),
        step("sew", "Sew a seam each side of the line.", seen, sewn),
        step("cut", "Cut on the line.", seen, [*sewn, StepLine("cut", *line)]),
        step("press", "Press the small triangles away from the large one.", as_panel(half)),
        step("sew", "Lay a small square face down in each half's last corner, mark its diagonal "
             "and sew a seam each side of it.", shown, again),
        step("cut", "Cut on the line.", shown, [*again, StepLine("cut", *across)]),
        step("press", "Open all four and press.", in_a_row([whole] * 2)),
        step("trim", _TRIMMING, whole),
        step("lay", "The unit is done.", one),
    )  # fmt: skip


_TRIMMING = (
    "Trim it with a seam left above the goose's point and the seams running into the two lower "
    "corners; what is too much comes off the sides and the lower edge."
)
# Nothing is cut off: the large square is cut on both diagonals in the end, each goose a quarter of
# it, its long side the unit's width. Each small square is halved: its short side is the unit's
# height. The first two small squares lie in opposite corners of the large one; cut apart, each half
# has a corner of either, and the third (fourth) gives both of its geese the other wing.
_FOUR = Method(
    unit=NAME,
    at_a_time=4,
    units=4,
    aspect=_HALF,
    face=Surd(_HALF),
    pieces=(
        UnitPiece("large square for the geese", 1, QUARTER_TRIANGLE, large=2 * EIGHTH),
        UnitPiece(
            "small square for the sky", 4, triangle_side(HALF_TRIANGLE, FINISHED / 2), large=EIGHTH
        ),
    ),
    how="Lay two small squares in opposite corners of the large one, sew a seam each side of "
    "their diagonal and cut on it; add a small square to each half's last corner in the same "
    "way.",
    trimming=_TRIMMING,
    lays=(PrintLay("equal", (2,)),),
    one_cloth=1,
    steps=_four_steps,
)
_HEIGHT = FINISHED / 2 + 2 * SEAM
# The rectangle is the unit with its seams; the squares are as high as it is, so that their
# diagonals meet one seam below the upper edge, on the seam line.
_ONE = Method(
    unit=NAME,
    at_a_time=1,
    aspect=_HALF,
    face=Surd(_HALF),
    pieces=(
        UnitPiece("rectangle for the goose", 1, UNFINISHED, _HEIGHT, shape="rectangle"),
        UnitPiece("small square for the sky", 2, _HEIGHT, flipped=True),
    ),
    how="Lay a small square on one end of the rectangle, sew on its diagonal, cut off the "
    "corner a seam outside the stitches and press; then the other end.",
    trimming=_TRIMMING,
    steps=_one_steps,
)
_SKY = (polygon((0, 0), (_HALF, 0), (0, 1)), polygon((_HALF, 0), (1, 0), (1, 1)))
FLYING_GEESE = UnitKind(
    NAME,
    (_FOUR, _ONE),
    (
        UnitPart((polygon((_HALF, 0), (1, 1), (0, 1)),), "large triangle"),
        UnitPart(_SKY, "sky", piece=1),
    ),
    ("goose", "flying-goose"),
)
