"""Four patch: two rows of two squares."""

from __future__ import annotations

from functools import partial

from catalog.cutting.units.cutting_method import Method, StripYield, UnitPiece
from catalog.cutting.units.face_shapes import chequered
from catalog.cutting.units.straight_units import AS_SEWN, patch, set_steps
from catalog.cutting.units.unit_kind import UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import FINISHED, SEAM

NAME = "four-patch"
# Each square finishes at half the side.
FOUR_PATCH = UnitKind(
    NAME, (patch(2, NAME),), tuple(UnitPart(face, shape="squares") for face in chequered(2))
)
_STRIPS = Method(
    unit=f"{NAME}-strips",
    trimmed=False,
    trimming=AS_SEWN,
    at_a_time=1,
    pieces=(UnitPiece("strip", 2, FINISHED / 2 + 2 * SEAM, shape="strip"),),
    strips=StripYield(2, 4),
    how="Sew two strips together, press to the darker, cut across as wide as a strip was cut, "
    "turn every second segment round and sew them in pairs.",
    steps=partial(set_steps, ((0, 1),), 2),
)
FOUR_PATCH_STRIPS = UnitKind(_STRIPS.unit, (_STRIPS,))
