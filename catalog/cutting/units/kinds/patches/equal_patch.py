"""Patches of more squares: sixteen patch and any other, square by square or from strips."""

from __future__ import annotations

from catalog.cutting.units.face_shapes import chequered
from catalog.cutting.units.straight_units import patch, patch_strips
from catalog.cutting.units.unit_kind import NameNumber, UnitFamily, UnitKind, UnitPart

_ACROSS = NameNumber("squares in a row", 2, 12, 4)


# Each square finishes at its share of the side and has a seam all round.
def _patch(name: str, across: int) -> UnitKind:
    names = ("upper left and every second square", "squares between them")
    parts = (UnitPart(face, one) for one, face in zip(names, chequered(across), strict=True))
    return UnitKind(name, (patch(across, name),), tuple(parts))


def _strips(name: str, across: int) -> UnitKind:
    return UnitKind(name, (patch_strips(across, name),))


PATCH = UnitFamily("patch", (_ACROSS,), _patch, ("sixteen-patch", "16-patch"))
PATCH_STRIPS = UnitFamily(
    "patch-strips", (_ACROSS,), _strips, ("sixteen-patch-strips", "16-patch-strips")
)
