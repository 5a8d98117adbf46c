"""Flipped corners of a third of the side, so that a nine patch beside it meets them."""

from __future__ import annotations

from fractions import Fraction

from catalog.cutting.units.face_shapes import corner_triangles, without_corners
from catalog.cutting.units.flipping import flipped_corners
from catalog.cutting.units.unit_kind import UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import FINISHED

_THIRD = Fraction(1, 3)
FLIPPED_CORNERS = UnitKind(
    "flipped-corners",
    (flipped_corners(FINISHED / 3),),
    (
        UnitPart((without_corners(_THIRD),), "middle"),
        UnitPart(corner_triangles(_THIRD), "corners", piece=1),
    ),
    ("snowball",),
)
