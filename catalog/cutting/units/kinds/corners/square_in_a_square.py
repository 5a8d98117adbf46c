"""A square that stands on its point in another, made in three ways."""

from __future__ import annotations

import math
from fractions import Fraction
from functools import partial

from catalog.cutting.units.cutting_method import Method, PrintLay, UnitPiece
from catalog.cutting.units.face_shapes import corner_triangles, without_corners
from catalog.cutting.units.flipping import ROUND_THE_CENTRE, TO_THE_POINTS, flipped_corners
from catalog.cutting.units.sized_unit import SizedUnit
from catalog.cutting.units.steps.cloth_geometry import piece
from catalog.cutting.units.steps.diagonal_steps import falling, ring, rising, trimmed_unit
from catalog.cutting.units.steps.sewing_steps import Step, StepLine
from catalog.cutting.units.steps.straight_steps import step
from catalog.cutting.units.surd import ONE, ROOT2
from catalog.cutting.units.triangle_sides import HALF_TRIANGLE, QUARTER_TRIANGLE, triangle_side
from catalog.cutting.units.unit_kind import UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import FINISHED, SEAM
from catalog.lengths import EIGHTH

NAME = "square-in-a-square"
_HALF = Fraction(1, 2)


def _round_steps(pieces: int, sized: SizedUnit) -> tuple[Step, ...]:
    """Return the steps of triangles round a centre, cut of squares that give so many `pieces`."""
    centre, square = (float(cut.width) for cut in sized.cuts)
    leg = square if pieces == 2 else square / math.sqrt(2.0)
    corners = piece(square, square, 1)
    lines = [StepLine("cut", *rising(square))]
    lines += [StepLine("cut", *falling(square))] if pieces == 4 else []
    often = "once" if pieces == 2 else "twice"
    steps, whole = ring(piece(centre, centre, 0), leg, 1, float(sized.seam))
    return (
        step("cut", f"Cut the squares for the corners {often} on the diagonal.", corners, lines),
        *steps,
        *trimmed_unit(whole, sized),
    )


_PARTS = (
    UnitPart((without_corners(_HALF),), "middle"),
    UnitPart(corner_triangles(_HALF), "corners", piece=1),
)
# Flipped corners of half the side meet in the middle of each edge.
_FLIPPED = flipped_corners(FINISHED / 2, NAME, rounding="down")
SQUARE_IN_A_SQUARE = UnitKind(NAME, (_FLIPPED,), _PARTS)

# The centre's corners touch the middles of the edges: its side is side/√2.
_CENTRE = UnitPiece("square for the centre", 1, FINISHED / ROOT2 + 2 * SEAM, rounding="down")
# A corner's short sides, half the unit's side, lie outside on the straight grain.
_TRIANGLES = Method(
    unit=f"{NAME}-triangles",
    at_a_time=1,
    pieces=(
        _CENTRE,
        UnitPiece(
            "square to cut once on the diagonal",
            2,
            triangle_side(HALF_TRIANGLE, FINISHED / 2),
            large=EIGHTH,
        ),
    ),
    how=ROUND_THE_CENTRE,
    trimming=TO_THE_POINTS,
    points=ONE,
    lays=(PrintLay("leaning"), PrintLay("halves", (0, 1, 2, 3))),
    steps=partial(_round_steps, 2),
)
SQUARE_IN_A_SQUARE_TRIANGLES = UnitKind(_TRIANGLES.unit, (_TRIANGLES,), _PARTS)

# A corner's long side is the centre's side, side/√2, on the straight grain; so the short sides,
# outside, are not.
_QUARTERS = Method(
    unit=f"{NAME}-quarters",
    at_a_time=1,
    pieces=(
        _CENTRE,
        UnitPiece(
            "square to cut twice on the diagonal",
            1,
            triangle_side(QUARTER_TRIANGLE, FINISHED / ROOT2),
            large=2 * EIGHTH,
        ),
    ),
    bias="All four outer edges are on the bias: starch first, and press without pulling.",
    how=ROUND_THE_CENTRE,
    trimming=TO_THE_POINTS,
    points=ROOT2,
    lays=(PrintLay("leaning"), PrintLay("leaning")),
    steps=partial(_round_steps, 4),
)
SQUARE_IN_A_SQUARE_QUARTERS = UnitKind(_QUARTERS.unit, (_QUARTERS,), _PARTS)
