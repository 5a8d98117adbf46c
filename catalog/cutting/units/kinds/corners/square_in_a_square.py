"""A square that stands on its point in another, made in three ways."""

from __future__ import annotations

from fractions import Fraction

from catalog.cutting.units.cutting_method import Method, PrintLay, UnitPiece
from catalog.cutting.units.face_shapes import corner_triangles, without_corners
from catalog.cutting.units.flipping import ROUND_THE_CENTRE, TO_THE_POINTS, flipped_corners
from catalog.cutting.units.surd import ONE, ROOT2
from catalog.cutting.units.triangle_sides import HALF_TRIANGLE, QUARTER_TRIANGLE, triangle_side
from catalog.cutting.units.unit_kind import UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import FINISHED, SEAM
from catalog.lengths import EIGHTH

NAME = "square-in-a-square"
_HALF = Fraction(1, 2)
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
)
SQUARE_IN_A_SQUARE_QUARTERS = UnitKind(_QUARTERS.unit, (_QUARTERS,), _PARTS)
