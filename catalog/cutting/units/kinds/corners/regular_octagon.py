"""Flipped corners that leave eight equal sides."""

from __future__ import annotations

from fractions import Fraction

from catalog.cutting.units.face_shapes import corner_triangles, without_corners
from catalog.cutting.units.flipping import flipped_corners
from catalog.cutting.units.surd import ROOT2
from catalog.cutting.units.unit_kind import UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import FINISHED

# A regular octagon cuts 1 / (2 + root 2) off each side; a drawing needs no more than this.
_DRAWN = Fraction(29289, 100_000)
# A corner of short side k leaves side - 2k of the edge and makes a slant of √2 k: equal where
# k = side / (2 + √2).
OCTAGON = UnitKind(
    "octagon",
    (flipped_corners(FINISHED / (2 + ROOT2), "octagon"),),
    (
        UnitPart((without_corners(_DRAWN),), "middle"),
        UnitPart(corner_triangles(_DRAWN), "corners", piece=1),
    ),
)
