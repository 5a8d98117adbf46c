"""Squares with other fabric in their corners: square in a square, flipped corners, octagon."""

from __future__ import annotations

from catalog.lengths import EIGHTH
from catalog.units.method import FINISHED, SEAM, UNFINISHED, Method, Piece, Size
from catalog.units.surd import ROOT2
from catalog.units.triangles import HALF_TRIANGLE, QUARTER_TRIANGLE, triangle_side

_FLIP = (
    "Lay a small square on a corner, sew on its diagonal, cut off the corner a seam outside the "
    "stitches and press; then the other corners."
)


def flipped_corners(corner: Size, unit: str = "flipped-corners", *, free: bool = True) -> Method:
    """Squares sewn across the four corners of a square.

    The stitches run corner to corner of the small square, so the two seams of the unit's edges are
    all that it loses: it is cut to its finished side and two seams.

    Parameters
    ----------
    corner : Size
        Finished short side of a corner.
    unit : str
        The command's name for it.
    free : bool
        Whether the corners leave some of each edge between them.
    """
    return Method(
        unit=unit,
        at_a_time=1,
        pieces=(
            Piece("square", 1, UNFINISHED),
            Piece("small square for the corners", 4, corner + 2 * SEAM, flipped=True, free=free),
        ),
        how=_FLIP,
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
    return flipped_corners(FINISHED / 2, "square-in-a-square", free=False)


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
            Piece("square for the centre", 1, FINISHED / ROOT2 + 2 * SEAM),
            Piece("square to cut once on the diagonal", 2, corners, large=EIGHTH),
        ),
        how="Sew a triangle to two opposite sides of the centre, press, then to the other two.",
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
            Piece("square for the centre", 1, FINISHED / ROOT2 + 2 * SEAM),
            Piece("square to cut twice on the diagonal", 1, corners, large=2 * EIGHTH),
        ),
        bias="All four outer edges are on the bias: starch first, and press without pulling.",
        how="Sew a triangle to two opposite sides of the centre, press, then to the other two.",
    )
