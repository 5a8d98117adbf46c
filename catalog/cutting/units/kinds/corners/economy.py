"""Economy: a square in a square in a square."""

from __future__ import annotations

import math
from fractions import Fraction

from catalog.cutting.units.cutting_method import Method, PrintLay, UnitPiece
from catalog.cutting.units.face_shapes import (
    box,
    corner_triangles,
    polygon,
)
from catalog.cutting.units.sized_unit import SizedUnit
from catalog.cutting.units.steps.cloth_geometry import in_a_row, piece
from catalog.cutting.units.steps.diagonal_steps import falling, ring, rising, trimmed, trimmed_unit
from catalog.cutting.units.steps.sewing_steps import Step, StepLine
from catalog.cutting.units.steps.straight_steps import step
from catalog.cutting.units.surd import ONE
from catalog.cutting.units.triangle_sides import HALF_TRIANGLE, QUARTER_TRIANGLE, triangle_side
from catalog.cutting.units.unit_kind import UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import FINISHED, SEAM
from catalog.lengths import EIGHTH

NAME = "economy"
_ROUND = (
    "Trim each round a seam outside the points of the square inside it and no closer, or the next "
    "seam cuts them off."
)


def _steps(sized: SizedUnit) -> tuple[Step, ...]:
    centre, first, second = (float(cut.width) for cut in sized.cuts)
    seam = float(sized.seam)
    squares = in_a_row([piece(first, first, 1), piece(second, second, 2)])
    far = squares.wide - second
    cuts = [
        StepLine("cut", *rising(first)),
        StepLine("cut", *falling(first)),
        StepLine("cut", (far + second, 0.0), (far, second)),
    ]
    inner, whole = ring(piece(centre, centre, 0), first / math.sqrt(2.0), 1, seam)
    # The first round is trimmed a seam outside the centre's points.
    size = (centre - 2 * seam) * math.sqrt(2.0) + 2 * seam
    trim, middle = trimmed(whole, size, size, _ROUND)
    outer, unit = ring(middle, second, 2, seam)
    return (
        step("cut", "Cut the square for the first round twice, those for the second once on the "
             "diagonal.", squares, cuts),
        *inner,
        trim,
        *outer,
        *trimmed_unit(unit, sized),
    )  # fmt: skip


# The middle square's corners touch the middles of the edges, the centre's those of its edges: its
# side is half the unit's. The first round's triangles have it as their long side, on the straight
# grain; the second round's have half the unit's side as their short ones.
_METHOD = Method(
    unit=NAME,
    at_a_time=1,
    pieces=(
        UnitPiece("square for the centre", 1, FINISHED / 2 + 2 * SEAM, rounding="down"),
        UnitPiece(
            "square for the first round, cut twice",
            1,
            triangle_side(QUARTER_TRIANGLE, FINISHED / 2),
            large=2 * EIGHTH,
        ),
        UnitPiece(
            "square for the second round, cut once",
            2,
            triangle_side(HALF_TRIANGLE, FINISHED / 2),
            large=2 * EIGHTH,
        ),
    ),
    how="Sew a triangle of the first round to two opposite sides of the centre, press, then to the "
    "other two; trim; do the same with the second round.",
    trimming=_ROUND,
    points=ONE,
    caution="Fold centre and triangles in half and lay crease on crease, so that the points meet.",
    lays=(None, PrintLay("leaning"), PrintLay("halves", (0, 1, 2, 3))),
    steps=_steps,
)
_LOW, _HALF, _HIGH = Fraction(1, 4), Fraction(1, 2), Fraction(3, 4)
_FIRST = (
    polygon((_HALF, 0), (_HIGH, _LOW), (_LOW, _LOW)),
    polygon((1, _HALF), (_HIGH, _HIGH), (_HIGH, _LOW)),
    polygon((_HALF, 1), (_LOW, _HIGH), (_HIGH, _HIGH)),
    polygon((0, _HALF), (_LOW, _LOW), (_LOW, _HIGH)),
)
ECONOMY = UnitKind(
    NAME,
    (_METHOD,),
    (
        UnitPart((box(_LOW, _LOW, _HIGH, _HIGH),), "middle"),
        UnitPart(_FIRST, "first round", piece=1),
        UnitPart(corner_triangles(_HALF), "corners", piece=2),
    ),
    ("economy-block", "economy-patch", "square-in-a-square-in-a-square"),
)
