"""Nine patch: three rows of three squares."""

from __future__ import annotations

from functools import partial

from catalog.cutting.units.cutting_method import Method, StripYield, UnitPiece
from catalog.cutting.units.face_shapes import chequered
from catalog.cutting.units.straight_units import AS_SEWN, patch, set_steps
from catalog.cutting.units.unit_kind import UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import FINISHED, SEAM

NAME = "nine-patch"
_NAMES = ("corners and middle", "sides")
# Each square finishes at a third of the side.
NINE_PATCH = UnitKind(
    NAME,
    (patch(3, NAME),),
    tuple(UnitPart(face, name) for name, face in zip(_NAMES, chequered(3), strict=True)),
)
# Two sets of three strips in one order and one in the other; a segment of each for a unit.
_STRIPS = Method(
    unit=f"{NAME}-strips",
    trimmed=False,
    trimming=AS_SEWN,
    at_a_time=1,
    pieces=(UnitPiece("strip", 9, FINISHED / 3 + 2 * SEAM, shape="strip"),),
    strips=StripYield(1, 9),
    how="Sew two sets of strips dark, light, dark and one light, dark, light; cut all across "
    "as wide as a strip was cut; two segments of the first and one of the second make a unit.",
    steps=partial(set_steps, ((0, 1, 0), (1, 0, 1)), 3),
)
NINE_PATCH_STRIPS = UnitKind(_STRIPS.unit, (_STRIPS,))
