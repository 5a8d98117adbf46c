"""Fill a corner of a quilt whose blocks stand on a point: two from one square cut once."""

from __future__ import annotations

from fractions import Fraction
from functools import partial

from catalog.cutting.units.cutting_method import Method, UnitPiece
from catalog.cutting.units.steps.diagonal_steps import cut_apart
from catalog.cutting.units.surd import ROOT2, Surd
from catalog.cutting.units.triangle_sides import HALF_TRIANGLE, TRIM_AT_THE_EDGE, triangle_side
from catalog.cutting.units.unit_kind import UnitKind
from catalog.cutting.units.unit_sizes import FINISHED
from catalog.lengths import EIGHTH

# The long side is a block's side; the short sides, block/√2, lie on the quilt's edges and have the
# straight grain of the square's.
_TWO = Method(
    unit="corner-triangle",
    at_a_time=2,
    units=2,
    face=Surd(Fraction(1, 4)),
    pieces=(
        UnitPiece(
            "square to cut once on the diagonal",
            1,
            triangle_side(HALF_TRIANGLE, FINISHED / ROOT2),
            rule_first=True,
            large=2 * EIGHTH,
        ),
    ),
    bias="The long side, which is sewn to the block, is on the bias; the quilt's edges are on "
    "the straight grain.",
    how="Cut the square on one diagonal. With sashing, give the block and two strips as the size.",
    fills=True,
    trimming=TRIM_AT_THE_EDGE,
    steps=partial(cut_apart, 2),
)
CORNER_TRIANGLE = UnitKind(_TWO.unit, (_TWO,))
