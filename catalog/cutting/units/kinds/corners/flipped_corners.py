"""Snowball: four flipped corners, of a third of the side unless told.

Of a third, a nine patch beside it meets them.
"""

from __future__ import annotations

from fractions import Fraction

from catalog.cutting.units.face_shapes import corner_triangles, without_corners
from catalog.cutting.units.flipping import flipped_corners
from catalog.cutting.units.unit_kind import NameNumber, UnitFamily, UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import FINISHED


def _snowball(name: str, number: int) -> UnitKind:
    side = Fraction(1, number)
    method = flipped_corners(FINISHED / number, name)
    return UnitKind(
        name,
        (method,),
        (
            UnitPart((without_corners(side),), "middle"),
            UnitPart(corner_triangles(side), "corners", piece=1),
        ),
    )


FLIPPED_CORNERS = UnitFamily(
    "flipped-corners", (NameNumber("corners to the side", 3, 8, 3),), _snowball, ("snowball",)
)
