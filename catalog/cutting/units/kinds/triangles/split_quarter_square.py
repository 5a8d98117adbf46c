"""Split quarter squares: half of the square plain, the other half of two quarters."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from catalog.cutting.units.cutting_method import Method, UnitPiece
from catalog.cutting.units.face_shapes import polygon
from catalog.cutting.units.sized_unit import SizedUnit
from catalog.cutting.units.steps.cloth_geometry import in_a_row, piece
from catalog.cutting.units.steps.diagonal_steps import (
    Pair,
    across_steps,
    falling,
    pair_steps,
    rising,
    trimmed_unit,
)
from catalog.cutting.units.steps.sewing_steps import Step, StepLine
from catalog.cutting.units.steps.straight_steps import step
from catalog.cutting.units.triangle_sides import HALF_TRIANGLE, ON_THE_SEAM, QUARTER_TRIANGLE
from catalog.cutting.units.unit_kind import UnitKind, UnitPart
from catalog.lengths import EIGHTH

NAME = "split-quarter-square"


def _single_steps(sized: SizedUnit) -> tuple[Step, ...]:
    quarter, half = (float(cut.width) for cut in sized.cuts)
    seam = float(sized.seam)
    squares = in_a_row([piece(quarter, quarter, 0), piece(quarter, quarter, 1)])
    far = squares.wide - quarter
    cuts = [
        StepLine("cut", (x + start[0], start[1]), (x + end[0], end[1]))
        for x in (0.0, far)
        for start, end in (rising(quarter), falling(quarter))
    ]
    _, sewn = pair_steps(quarter, seam)
    pair = Pair(sewn, piece(sewn.wide, sewn.wide, 2))
    one = pair.opened(falling(sewn.wide), seam)
    quarters = Pair(sewn, sewn).under.cut(*falling(sewn.wide))
    return (
        step("cut", "Cut the squares for the quarters twice on the diagonal.", squares, cuts),
        step("cut", "Cut the square for the half once on the diagonal.", piece(half, half, 2),
             [StepLine("cut", *falling(half))]),
        step("sew", "Sew a quarter of each together on a short side, the same one every time.",
             replace(sewn, cloths=quarters), [StepLine("sew", (sewn.wide / 2, sewn.wide / 2),
                                                       (sewn.wide, 0.0))]),
        step("sew", "Sew the half to their long side.", one,
             [StepLine("sew", (0.0, 0.0), (one.wide, one.high))]),
        *trimmed_unit(one, sized),
    )  # fmt: skip


def _four_steps(sized: SizedUnit) -> tuple[Step, ...]:
    seam = float(sized.seam)
    first, half = pair_steps(float(sized.cuts[0].width), seam)
    plain = piece(half.wide, half.wide, 2)
    laid = step("lay", "Lay each with a plain square.", in_a_row([half, plain]))
    second, one = across_steps(Pair(half, plain), falling(half.wide), seam)
    return (*first, laid, *second, *trimmed_unit(one, sized))


# The quarters are quarter-square triangles with the unit's side as their long side, the half is a
# half-square triangle with the unit's sides as its short ones.
_SINGLE = Method(
    unit=NAME,
    at_a_time=1,
    units=4,
    pieces=(
        UnitPiece("square for the quarters, cut twice", 2, QUARTER_TRIANGLE, large=2 * EIGHTH),
        UnitPiece("square for the halves, cut once", 2, HALF_TRIANGLE, large=EIGHTH),
    ),
    how="Cut a square of each quarter's cloth twice on the diagonal and two squares for the halves "
    "once; sew a quarter of each together on a short side, and a half to their long side.",
    trimming=ON_THE_SEAM,
    caution="Which quarter lies to the left tells its hand: lay all of them out before you sew. "
    "The cut sides are on the bias, so don't pull them.",
    steps=_single_steps,
)
# Two half-square triangles of the quarters' squares measure as much as a plain square for the half;
# each round of sewing beside a diagonal takes √2 seam.
_FOUR = replace(
    _SINGLE,
    at_a_time=4,
    how="Make two half-square triangles of the squares for the quarters; lay each face to face "
    "with a plain square, sew a seam each side of the diagonal across its seam and cut on it.",
    caution="Of the four, two are of one hand and two of the other.",
    steps=_four_steps,
)
_MIDDLE = (Fraction(1, 2), Fraction(1, 2))
SPLIT_QUARTER_SQUARE = UnitKind(
    NAME,
    (_SINGLE, _FOUR),
    (
        UnitPart((polygon((0, 0), (1, 0), _MIDDLE),), shape="quarter"),
        UnitPart((polygon((1, 0), (1, 1), _MIDDLE),), shape="quarter"),
        UnitPart((polygon((0, 0), (1, 1), (0, 1)),), shape="half", piece=1),
    ),
    ("split-quarter-square-triangle", "split-qst", "three-patch-quarter-square"),
)
