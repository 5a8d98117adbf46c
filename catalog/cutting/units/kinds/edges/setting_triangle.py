"""Fill an edge of a quilt whose blocks stand on a point: four from one square cut twice."""

from __future__ import annotations

from fractions import Fraction
from functools import partial

from catalog.cutting.units.cutting_method import Method, UnitPiece
from catalog.cutting.units.steps.diagonal_steps import cut_apart
from catalog.cutting.units.surd import ROOT2, Surd
from catalog.cutting.units.triangle_sides import (
    QUARTER_TRIANGLE,
    TRIM_AT_THE_EDGE,
    triangle_side,
)
from catalog.cutting.units.unit_kind import UnitKind
from catalog.cutting.units.unit_sizes import FINISHED
from catalog.lengths import EIGHTH

# The long side lies on the quilt's edge and is as long as a block's diagonal, √2 block; cut from
# the square's edge, it has the straight grain.
_FOUR = Method(
    unit="setting-triangle",
    at_a_time=4,
    units=4,
    face=Surd(Fraction(1, 2)),
    pieces=(
        UnitPiece(
            "square to cut twice on the diagonal",
            1,
            triangle_side(QUARTER_TRIANGLE, ROOT2 * FINISHED),
            rule_first=True,
            large=2 * EIGHTH,
        ),
    ),
    bias="The two short sides, which are sewn to the blocks, are on the bias; the quilt's edge "
    "is on the straight grain.",
    how="Cut the square on both diagonals. With sashing, give the block and one strip as the size.",
    fills=True,
    trimming=TRIM_AT_THE_EDGE,
    steps=partial(cut_apart, 4),
)
SETTING_TRIANGLE = UnitKind(_FOUR.unit, (_FOUR,), other_names=("side-triangle",))
