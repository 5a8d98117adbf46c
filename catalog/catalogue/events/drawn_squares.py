"""Squares that a person drew: their size on the cloth, and where one that was missed must lie."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from catalog.errors import CatalogueError
from catalog.models import Corners, Point, Square

Floats = NDArray[np.float64]

MIN_OUTLINE_AREA_PX = 64.0
"""Pixels of a square's outline; a side of 8 shows no print."""


def sized(corners: Corners, others: Sequence[Square], row: int | None, col: int | None) -> Square:
    """Make a square of corners that a person gave, its size told by the nearest square.

    Parameters
    ----------
    corners : Corners
    others : sequence of Square
        Of the same photo; without any the size stays unknown (0).
    row, col : int, optional

    Returns
    -------
    Square
        Of confidence 1: a person said so.
    """
    wide, high, absolute = 0.0, 0.0, False
    if others:
        middle = np.mean(corners, axis=0)
        nearest = min(
            others, key=lambda s: float(np.linalg.norm(np.mean(s.corners, axis=0) - middle))
        )
        flat = _laid(np.array(corners), _undone(_plane_of(nearest)))
        sides = np.linalg.norm(flat - np.roll(flat, -1, axis=0), axis=1)
        wide, high = float((sides[0] + sides[2]) / 2), float((sides[1] + sides[3]) / 2)
        absolute = nearest.absolute
    return Square(corners, row, col, wide, high, 1.0, absolute=absolute)


def fit_outline(corners: Corners, wide: int, high: int) -> Corners:
    """Return a square's corners, checked against its photo.

    Parameters
    ----------
    corners : Corners
    wide, high : int
        Pixels of the photo.

    Raises
    ------
    CatalogueError
        One lies outside the photo, or they go round no area, or not clockwise without a dent.
    """
    points = np.array(corners, np.float64)
    if not np.isfinite(points).all() or (points < 0).any() or (points > (wide, high)).any():
        raise CatalogueError(
            "a corner lies outside the photo", "keep all four corners on the photo"
        )
    (ax, ay), (bx, by) = points[2] - points[0], points[3] - points[1]
    if min(turns_of(corners)) <= 0 or (ax * by - ay * bx) / 2 < MIN_OUTLINE_AREA_PX:
        raise CatalogueError(
            "these corners go round no square of cloth",
            "give them clockwise, from the one that is top left in its row",
        )
    return corners


def within(corners: Corners, wide: int, high: int) -> Corners:
    """Return corners drawn in to where the photo ends."""
    return _corners(np.clip(np.array(corners, np.float64), 0.0, (wide, high)))


def turns_of(corners: Sequence[Point]) -> list[float]:
    """Return of each corner over 0 where the way by it turns right (y points down).

    It is twice the area of the triangle with the corners before and behind.
    """
    before, behind = [*corners[-1:], *corners[:-1]], [*corners[1:], *corners[:1]]
    return [
        (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
        for a, b, c in zip(before, corners, behind, strict=True)
    ]


def proposed_at(place: tuple[int, int], squares: Sequence[Square]) -> Corners | None:
    """Where the square of a row and column must lie, by the others in rows; None if unknown.

    The middles of at least four squares that are not all in one row or column tell the lattice's
    homography; the corners' median place in it tells the rest.
    """
    import cv2

    told = [s for s in squares if s.row is not None and s.col is not None]
    cells, middles = _cells_and_middles(told)
    if not len(cells):
        return None
    lattice, _ = cv2.findHomography(cells, middles, cv2.LMEDS)
    if lattice is None or not np.isfinite(lattice).all() or not np.linalg.det(lattice):
        return None
    back = np.linalg.inv(np.asarray(lattice, np.float64))
    offsets = np.array([_laid(np.array(s.corners), back) for s in told]) - cells[:, None]
    row, col = place
    found = _laid(np.median(offsets, axis=0) + np.array([col, row]), np.asarray(lattice))
    return _corners(found)


def proposed_near(point: Point, squares: Sequence[Square]) -> Corners | None:
    """A square like the nearest one, with its middle at a point; None without squares."""
    if not squares:
        return None
    nearest = min(
        squares, key=lambda s: float(np.linalg.norm(np.subtract(middle_of(s.corners), point)))
    )
    plane = _plane_of(nearest)
    middle = _laid(np.array([point]), _undone(plane))[0]
    half = np.array([nearest.width_in or 1.0, nearest.height_in or 1.0]) / 2.0
    signs = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)], np.float64)
    return _corners(_laid(middle + signs * half, plane))


def cell_at(point: Point, squares: Sequence[Square]) -> tuple[int, int] | None:
    """Row and column at a point of the photo, by the squares in rows; None if unknown."""
    import cv2

    cells, middles = _cells_and_middles(squares)
    if not len(cells):
        return None
    back, _ = cv2.findHomography(middles, cells, cv2.LMEDS)
    if back is None or not np.isfinite(back).all():
        return None
    col, row = np.rint(_laid(np.array([point]), np.asarray(back))[0]).astype(int)
    return (int(row), int(col)) if row >= 1 and col >= 1 else None


def _cells_and_middles(squares: Sequence[Square]) -> tuple[Floats, Floats]:
    """Return (column, row) and middle of the squares in rows; none where they tell no lattice."""
    told = [s for s in squares if s.row is not None and s.col is not None]
    cells = np.array([(s.col, s.row) for s in told], np.float64).reshape(-1, 2)
    if len(told) < 4 or min(len(set(cells[:, 0])), len(set(cells[:, 1]))) < 2:
        return cells[:0], cells[:0]
    return cells, np.array([middle_of(s.corners) for s in told], np.float64)


def middle_of(corners: Corners) -> Point:
    """Return where the diagonals cross."""
    a, b, c, d = np.array(corners, np.float64)
    one, two = c - a, d - b
    cross = one[0] * two[1] - one[1] * two[0]
    if abs(cross) < 1e-9:
        x, y = np.mean(corners, axis=0)
        return float(x), float(y)
    part = ((b - a)[0] * two[1] - (b - a)[1] * two[0]) / cross
    x, y = a + part * one
    return float(x), float(y)


def _plane_of(square: Square) -> Floats:
    """Return the homography from inches on the cloth to the photo, from one square."""
    import cv2

    wide, high = square.width_in or 1.0, square.height_in or 1.0
    flat = np.array([(0, 0), (wide, 0), (wide, high), (0, high)], np.float32)
    seen = np.array(square.corners, np.float32)
    return np.asarray(cv2.getPerspectiveTransform(flat, seen), np.float64)


def _undone(plane: Floats) -> Floats:
    return np.asarray(np.linalg.inv(plane), np.float64)


def _laid(points: Floats, by: Floats) -> Floats:
    out = points @ by[:, :2].T + by[:, 2]
    return np.asarray(out[:, :2] / out[:, 2:], np.float64)


def _corners(points: Floats) -> Corners:
    a, b, c, d = ((float(x), float(y)) for x, y in points)
    return a, b, c, d
