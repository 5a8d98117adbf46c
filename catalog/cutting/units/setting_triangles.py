"""Triangles that fill the edges and corners of a quilt whose blocks stand on a point."""

from __future__ import annotations

from fractions import Fraction

from catalog.cutting.units.cutting_method import Method, UnitPiece
from catalog.cutting.units.surd import ROOT2, Number, Surd
from catalog.cutting.units.triangles import HALF_TRIANGLE, QUARTER_TRIANGLE, triangle_side
from catalog.cutting.units.unit_sizes import FINISHED
from catalog.lengths import EIGHTH

_AT_THE_EDGE = (
    "Trim it only once the top is together: the quilt's edge, a seam outside the blocks' points."
)


def setting_triangle() -> Method:
    """Fill an edge: four from one square cut twice.

    The long side lies on the quilt's edge and is as long as a block's diagonal, √2 block; cut
    from the square's edge, it has the straight grain.
    """
    side = triangle_side(QUARTER_TRIANGLE, ROOT2 * FINISHED)
    return Method(
        unit="setting-triangle",
        at_a_time=4,
        units=4,
        face=Surd(Fraction(1, 2)),
        pieces=(
            UnitPiece(
                "square to cut twice on the diagonal", 1, side, rule_first=True, large=2 * EIGHTH
            ),
        ),
        bias="The two short sides, which are sewn to the blocks, are on the bias; the quilt's edge "
        "is on the straight grain.",
        how="Cut the square on both diagonals. With sashing, give the block and one strip as the "
        "size.",
        fills=True,
        trimming=_AT_THE_EDGE,
    )


def corner_triangle() -> Method:
    """Fill a corner: two from one square cut once.

    The long side is a block's side; the short sides, block/√2, lie on the quilt's edges and have
    the straight grain of the square's.
    """
    side = triangle_side(HALF_TRIANGLE, FINISHED / ROOT2)
    return Method(
        unit="corner-triangle",
        at_a_time=2,
        units=2,
        face=Surd(Fraction(1, 4)),
        pieces=(
            UnitPiece(
                "square to cut once on the diagonal", 1, side, rule_first=True, large=2 * EIGHTH
            ),
        ),
        bias="The long side, which is sewn to the block, is on the bias; the quilt's edges are on "
        "the straight grain.",
        how="Cut the square on one diagonal. With sashing, give the block and two strips as the "
        "size.",
        fills=True,
        trimming=_AT_THE_EDGE,
    )


def diagonal(side: Number) -> Surd:
    """Return the diagonal of a square, in the unit of its side: √2 side."""
    return ROOT2 * side
