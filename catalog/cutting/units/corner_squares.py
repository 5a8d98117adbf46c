"""Squares with other fabric in their corners: square in a square, flipped corners, octagon."""

from __future__ import annotations

from catalog.cutting.units.cutting_method import Method, UnitPiece
from catalog.cutting.units.surd import ONE, ROOT2
from catalog.cutting.units.triangles import HALF_TRIANGLE, QUARTER_TRIANGLE, triangle_side
from catalog.cutting.units.unit_sizes import FINISHED, SEAM, UNFINISHED, Size
from catalog.lengths import EIGHTH, Rounding

_FLIP = (
    "Lay a small square on a corner, sew on its diagonal, cut off the corner a seam outside the "
    "stitches and press; then the other corners."
)
_AS_CUT = (
    "Don't trim it: its corners would come out smaller, and points that meet its edge would be cut "
    "off."
)
_TO_THE_POINTS = (
    "Trim it a seam outside the centre's points and no closer, or the next seam cuts them off."
)


def flipped_corners(
    corner: Size, unit: str = "flipped-corners", *, rounding: Rounding = "nearest"
) -> Method:
    """Squares sewn across the four corners of a square.

    The stitches run corner to corner of the small square, so the two seams of the unit's edges are
    all that it loses: it is cut to its finished side and two seams.

    Parameters
    ----------
    corner : Size
        Finished short side of a corner.
    unit : str
        The command's name for it.
    rounding : {"nearest", "up", "down"}
        To which mark the corners are cut; ``down`` where they meet in a point on the edge.
    """
    return Method(
        unit=unit,
        at_a_time=1,
        pieces=(
            UnitPiece("square", 1, UNFINISHED),
            UnitPiece(
                "small square for the corners",
                4,
                corner + 2 * SEAM,
                flipped=True,
                rounding=rounding,
            ),
        ),
        how=_FLIP,
        trimmed=False,
        trimming=_AS_CUT,
    )


def thirds() -> Method:
    """Corners of a third of the side, so that a nine patch beside it meets them."""
    return flipped_corners(FINISHED / 3)


def octagon() -> Method:
    """Corners that leave eight equal sides.

    A corner of short side k leaves side - 2k of the edge and makes a slant of √2 k: equal where
    k = side / (2 + √2).
    """
    return flipped_corners(FINISHED / (2 + ROOT2), "octagon")


def square_in_a_square() -> Method:
    """Flipped corners of half the side, which meet in the middle of each edge."""
    return flipped_corners(FINISHED / 2, "square-in-a-square", rounding="down")


def square_in_a_square_triangles() -> Method:
    """Set a centre on its point, with four triangles of two squares cut once.

    The centre's corners touch the middles of the edges: its side is side/√2. A corner's short
    sides, half the unit's side, lie outside on the straight grain.
    """
    corners = triangle_side(HALF_TRIANGLE, FINISHED / 2)
    return Method(
        unit="square-in-a-square-triangles",
        at_a_time=1,
        pieces=(
            UnitPiece("square for the centre", 1, FINISHED / ROOT2 + 2 * SEAM, rounding="down"),
            UnitPiece("square to cut once on the diagonal", 2, corners, large=EIGHTH),
        ),
        how="Sew a triangle to two opposite sides of the centre, press, then to the other two.",
        trimming=_TO_THE_POINTS,
        points=ONE,
    )


def square_in_a_square_quarters() -> Method:
    """Set a centre on its point, with four triangles of one square cut twice.

    A corner's long side is the centre's side, side/√2, on the straight grain; so the short sides,
    outside, are not.
    """
    corners = triangle_side(QUARTER_TRIANGLE, FINISHED / ROOT2)
    return Method(
        unit="square-in-a-square-quarters",
        at_a_time=1,
        pieces=(
            UnitPiece("square for the centre", 1, FINISHED / ROOT2 + 2 * SEAM, rounding="down"),
            UnitPiece("square to cut twice on the diagonal", 1, corners, large=2 * EIGHTH),
        ),
        bias="All four outer edges are on the bias: starch first, and press without pulling.",
        how="Sew a triangle to two opposite sides of the centre, press, then to the other two.",
        trimming=_TO_THE_POINTS,
        points=ROOT2,
    )
