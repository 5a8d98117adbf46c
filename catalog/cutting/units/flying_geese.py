"""Flying geese: twice as wide as high, one large triangle between two small ones."""

from __future__ import annotations

from fractions import Fraction

from catalog.cutting.units.cutting_method import Method, UnitPiece
from catalog.cutting.units.surd import Surd
from catalog.cutting.units.triangles import HALF_TRIANGLE, QUARTER_TRIANGLE, triangle_side
from catalog.cutting.units.unit_sizes import FINISHED, SEAM, UNFINISHED
from catalog.lengths import EIGHTH

_HALF = Fraction(1, 2)
_TRIMMING = (
    "Trim it with a seam left above the goose's point and the seams running into the two lower "
    "corners; what is too much comes off the sides and the lower edge."
)


def flying_geese_four() -> Method:
    """Four at a time: one large square, four small ones, nothing cut off.

    The large square is cut on both diagonals in the end: each goose is a quarter of it, its long
    side the unit's width. Each small square is halved: its short side is the unit's height.
    """
    small = triangle_side(HALF_TRIANGLE, FINISHED / 2)
    return Method(
        unit="flying-geese",
        at_a_time=4,
        units=4,
        aspect=_HALF,
        face=Surd(_HALF),
        pieces=(
            UnitPiece("large square for the geese", 1, QUARTER_TRIANGLE, large=2 * EIGHTH),
            UnitPiece("small square for the sky", 4, small, large=EIGHTH),
        ),
        how="Lay two small squares in opposite corners of the large one, sew a seam each side of "
        "their diagonal and cut on it; add a small square to each half's last corner in the same "
        "way.",
        trimming=_TRIMMING,
    )


def flying_geese_one() -> Method:
    """One at a time: a rectangle and two squares sewn across its corners.

    The rectangle is the unit with its seams; the squares are as high as it is, so that their
    diagonals meet one seam below the upper edge, on the seam line.
    """
    height = FINISHED / 2 + 2 * SEAM
    return Method(
        unit="flying-geese",
        at_a_time=1,
        aspect=_HALF,
        face=Surd(_HALF),
        pieces=(
            UnitPiece("rectangle for the goose", 1, UNFINISHED, height, shape="rectangle"),
            UnitPiece("small square for the sky", 2, height, flipped=True),
        ),
        how="Lay a small square on one end of the rectangle, sew on its diagonal, cut off the "
        "corner a seam outside the stitches and press; then the other end.",
        trimming=_TRIMMING,
    )
