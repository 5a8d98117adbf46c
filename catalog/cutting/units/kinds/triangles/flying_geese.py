"""Flying geese: twice as wide as high, one large triangle between two small ones."""

from __future__ import annotations

from fractions import Fraction

from catalog.cutting.units.cutting_method import Method, PrintLay, UnitPiece
from catalog.cutting.units.face_shapes import polygon
from catalog.cutting.units.surd import Surd
from catalog.cutting.units.triangle_sides import HALF_TRIANGLE, QUARTER_TRIANGLE, triangle_side
from catalog.cutting.units.unit_kind import UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import FINISHED, SEAM, UNFINISHED
from catalog.lengths import EIGHTH

NAME = "flying-geese"
_HALF = Fraction(1, 2)
_TRIMMING = (
    "Trim it with a seam left above the goose's point and the seams running into the two lower "
    "corners; what is too much comes off the sides and the lower edge."
)
# Nothing is cut off: the large square is cut on both diagonals in the end, each goose a quarter of
# it, its long side the unit's width. Each small square is halved: its short side is the unit's
# height. The first two small squares lie in opposite corners of the large one; cut apart, each half
# has a corner of either, and the third (fourth) gives both of its geese the other wing.
_FOUR = Method(
    unit=NAME,
    at_a_time=4,
    units=4,
    aspect=_HALF,
    face=Surd(_HALF),
    pieces=(
        UnitPiece("large square for the geese", 1, QUARTER_TRIANGLE, large=2 * EIGHTH),
        UnitPiece(
            "small square for the sky", 4, triangle_side(HALF_TRIANGLE, FINISHED / 2), large=EIGHTH
        ),
    ),
    how="Lay two small squares in opposite corners of the large one, sew a seam each side of "
    "their diagonal and cut on it; add a small square to each half's last corner in the same "
    "way.",
    trimming=_TRIMMING,
    lays=(PrintLay("equal", (2,)),),
    one_cloth=1,
)
_HEIGHT = FINISHED / 2 + 2 * SEAM
# The rectangle is the unit with its seams; the squares are as high as it is, so that their
# diagonals meet one seam below the upper edge, on the seam line.
_ONE = Method(
    unit=NAME,
    at_a_time=1,
    aspect=_HALF,
    face=Surd(_HALF),
    pieces=(
        UnitPiece("rectangle for the goose", 1, UNFINISHED, _HEIGHT, shape="rectangle"),
        UnitPiece("small square for the sky", 2, _HEIGHT, flipped=True),
    ),
    how="Lay a small square on one end of the rectangle, sew on its diagonal, cut off the "
    "corner a seam outside the stitches and press; then the other end.",
    trimming=_TRIMMING,
)
_SKY = (polygon((0, 0), (_HALF, 0), (0, 1)), polygon((_HALF, 0), (1, 0), (1, 1)))
FLYING_GEESE = UnitKind(
    NAME,
    (_FOUR, _ONE),
    (
        UnitPart((polygon((_HALF, 0), (1, 1), (0, 1)),), "large triangle"),
        UnitPart(_SKY, "sky", piece=1),
    ),
    ("goose", "flying-goose"),
)
