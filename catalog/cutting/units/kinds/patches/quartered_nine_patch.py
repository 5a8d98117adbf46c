"""A nine patch cut in quarters, which are turned and sewn together again."""

from __future__ import annotations

from catalog.cutting.units.cutting_method import Method, UnitPiece
from catalog.cutting.units.straight_units import AS_SEWN
from catalog.cutting.units.unit_kind import UnitKind
from catalog.cutting.units.unit_sizes import FINISHED, SEAM

NAME = "quartered-nine-patch"
# A nine patch of squares c measures 3 (c - 2 seam) + 2 seam; a quarter half of that, and finishes
# 2 seams smaller; two of them make the unit: finished 3c - 8 seam.
_METHOD = Method(
    unit=NAME,
    trimmed=False,
    trimming=AS_SEWN,
    at_a_time=1,
    pieces=(UnitPiece("square", 9, (FINISHED + 8 * SEAM) / 3),),
    how="Sew a nine patch, cut it in half both ways, turn two opposite quarters round and sew "
    "the four together.",
)
QUARTERED_NINE_PATCH = UnitKind(NAME, (_METHOD,))
