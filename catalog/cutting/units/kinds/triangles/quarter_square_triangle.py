"""Quarter-square triangles: four triangles that meet in the middle."""

from __future__ import annotations

from fractions import Fraction

from catalog.cutting.units.cutting_method import Method, PrintLay, UnitPiece
from catalog.cutting.units.face_shapes import polygon
from catalog.cutting.units.surd import ROOT2
from catalog.cutting.units.unit_kind import UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import SEAM, UNFINISHED
from catalog.lengths import EIGHTH

NAME = "quarter-square-triangle"
_MIDDLE = (Fraction(1, 2), Fraction(1, 2))
# Each round of sewing beside a diagonal takes √2 seam (see half-square triangles, two at a time).
_TWO = Method(
    unit=NAME,
    at_a_time=2,
    units=2,
    pieces=(UnitPiece("square", 2, UNFINISHED + 2 * ROOT2 * SEAM, large=2 * EIGHTH),),
    how="Make two half-square triangles, lay them face to face with the seams nested and the "
    "colours opposite, sew a seam each side of the other diagonal and cut on it.",
    trimming="Trim it with the ruler's 45 degree line on one seam and the middle of the trim "
    "size where the seams cross, so that they run into all four corners.",
    lays=(PrintLay("equal", (0, 2)), PrintLay("equal", (1, 3))),
)
_UPPER_AND_LOWER = (polygon((0, 0), (1, 0), _MIDDLE), polygon((1, 1), (0, 1), _MIDDLE))
_LEFT_AND_RIGHT = (polygon((1, 0), (1, 1), _MIDDLE), polygon((0, 1), (0, 0), _MIDDLE))
QUARTER_SQUARE_TRIANGLE = UnitKind(
    NAME,
    (_TWO,),
    (UnitPart(_UPPER_AND_LOWER, shape="quarters"), UnitPart(_LEFT_AND_RIGHT, shape="quarters")),
    ("qst", "hourglass"),
)
