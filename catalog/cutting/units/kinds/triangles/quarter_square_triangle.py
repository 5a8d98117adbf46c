"""Quarter-square triangles: four triangles that meet in the middle."""

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
from catalog.cutting.units.steps.diagonal_steps import (
    Pair,
    across_steps,
    falling,
    pair_steps,
    rising,
    trimmed_unit,
)
from catalog.cutting.units.steps.sewing_steps import Cloth, Step, StepLine
from catalog.cutting.units.steps.straight_steps import step
from catalog.cutting.units.surd import ROOT2
from catalog.cutting.units.unit_kind import UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import SEAM, UNFINISHED
from catalog.lengths import EIGHTH

NAME = "quarter-square-triangle"


def _steps(sized: SizedUnit) -> tuple[Step, ...]:
    seam = float(sized.seam)
    first, half = pair_steps(float(sized.cuts[0].width), seam)
    opposite = Panel(
        tuple(replace(cloth, part=1 - cloth.part) for cloth in half.cloths), half.wide, half.high
    )
    laid = step("lay", "Turn one round, so that the colours lie opposite.",
                in_a_row([half, opposite]))  # fmt: skip
    second, one = across_steps(Pair(half, opposite), falling(half.wide), seam)
    return (*first, laid, *second, *trimmed_unit(one, sized))


def _single_steps(sized: SizedUnit) -> tuple[Step, ...]:
    side, seam = float(sized.cuts[0].width), float(sized.seam)
    square, middle = piece(side, side, 0), (side / 2, side / 2)
    top = ((0.0, 0.0), (side, 0.0), middle)
    short = beside((side, 0.0), middle, seam)  # the upper triangle lies to its right
    seen = as_panel([Cloth(top, 1, wrong_side=True)])
    both = opened([Cloth(top, 0)], [Cloth(top, 1)], short)
    _, half = pair_steps(side, seam)
    opposite = Panel(
        tuple(replace(cloth, part=1 - cloth.part) for cloth in half.cloths), half.wide, half.high
    )
    one = Pair(half, opposite).opened(falling(half.wide), seam)
    return (
        step("cut", "Cut each square twice on the diagonal.", square,
             [StepLine("cut", *rising(side)), StepLine("cut", *falling(side))]),
        step("sew", "Lay a triangle of each square face to face and sew a short side, always the "
             "same one.", seen, [StepLine("sew", *short)]),
        step("press", "Open it and press to the darker side; make two.", as_panel(both)),
        step("sew", "Lay the two face to face, seams nested, and sew the long side.", one,
             [StepLine("sew", (0.0, 0.0), (one.wide, one.high))]),
        *trimmed_unit(one, sized),
    )  # fmt: skip


_MIDDLE = (Fraction(1, 2), Fraction(1, 2))
# Each round of sewing beside a diagonal takes √2 seam (see half-square triangles, two at a time).
_TWO = Method(
    unit=NAME,
    at_a_time=2,
    units=2,
    pieces=(UnitPiece("square", 2, UNFINISHED + 2 * ROOT2 * SEAM, large=2 * EIGHTH),),
    how="Make two half-square triangles, lay them face to face with the seams nested and the "
    "colours opposite, sew a seam each side of the other diagonal and cut on it.",
    trimming="Trim it with the ruler's 45 degree line on one seam and the middle of the trim "
    "size where the seams cross, so that they run into all four corners.",
    lays=(PrintLay("equal", (0, 2)), PrintLay("equal", (1, 3))),
    steps=_steps,
)
# The same triangles, cut apart first: two of each square for a unit.
_SINGLE = replace(
    _TWO,
    at_a_time=1,
    pieces=(
        UnitPiece(
            "square to cut twice on the diagonal",
            2,
            UNFINISHED + 2 * ROOT2 * SEAM,
            large=2 * EIGHTH,
        ),
    ),
    how="Cut two squares twice on the diagonal, sew a triangle of each together on a short side, "
    "and two such pairs on the long side.",
    caution="The short sides are on the bias until they are sewn: don't pull them.",
    steps=_single_steps,
)
_UPPER_AND_LOWER = (polygon((0, 0), (1, 0), _MIDDLE), polygon((1, 1), (0, 1), _MIDDLE))
_LEFT_AND_RIGHT = (polygon((1, 0), (1, 1), _MIDDLE), polygon((0, 1), (0, 0), _MIDDLE))
QUARTER_SQUARE_TRIANGLE = UnitKind(
    NAME,
    (_TWO, _SINGLE),
    (UnitPart(_UPPER_AND_LOWER, shape="quarters"), UnitPart(_LEFT_AND_RIGHT, shape="quarters")),
    ("qst", "hourglass"),
)
