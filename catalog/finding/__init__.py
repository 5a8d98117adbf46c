"""From the pixels of a photo to the squares in it.

The order of the stages: the eye says where, the plane holds them together, the edges say exactly
where, the verdict throws out what is no square, the lattice reads rows and columns.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from catalog.finding.corners import refine
from catalog.finding.eye import Candidates, see
from catalog.finding.ground import bare_corners, ground_likeness
from catalog.finding.lattice import Lattice, common_turn, read_rows
from catalog.finding.plane import Plane, fit_plane, poses_of
from catalog.finding.sides import sizes
from catalog.finding.verdict import LEAST, confidence
from catalog.models import Corners, Found, Photo, Square

SMALLEST = 700
"""Halves of the photo are made down to about this many px on its long side."""
GROUND_LEVEL = 2
"""Which of them the colours of the ground are counted on (quarter size)."""
ODD = 0.03
"""A square that leaves the bundle's size by this part of a side is flagged (5/32 in at 5 in)."""
UNSURE = 0.8
"""Squares told with less confidence are flagged."""
HIDDEN = 0.35
"""A side seen less clearly than this is taken from the others."""


def find_squares(photo: Photo, side_in: float) -> Found:
    """Find the squares of cloth in a photo.

    Parameters
    ----------
    photo : Photo
        Upright sRGB pixels.
    side_in : float
        What the bundle's squares measure, inches.

    Returns
    -------
    Found
        The squares in reading order; none if the photo shows none.
    """
    candidates = see(photo.pixels)
    if not len(candidates.heat):
        return Found((), 0.0)
    levels = _halves(photo.pixels)
    plane, corners, seen, sure = _settle(levels, candidates)
    keep = sure >= LEAST
    whole = _whole(plane.to_photo(corners), photo.pixels.shape)
    cut_off = int((keep & ~whole).sum())
    keep &= whole
    if not keep.any():
        return Found((), 0.0, cut_off)
    corners = _upright(corners[keep])
    lattice = read_rows(poses_of(corners))
    squares = _squares(plane, corners, seen[keep], sure[keep], lattice, side_in)
    return Found(squares, _pixels_per_inch(plane.to_photo(corners), side_in), cut_off)


def _halves(pixels: NDArray[np.uint8]) -> list[NDArray[np.uint8]]:
    levels = [pixels]
    while max(levels[-1].shape) > 2 * SMALLEST:
        half = cv2.resize(levels[-1], None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
        levels.append(np.asarray(half, np.uint8))
    return levels


def _settle(
    levels: list[NDArray[np.uint8]], candidates: Candidates
) -> tuple[Plane, NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Plane, corners in it, how clearly each side is seen, and each candidate's confidence."""
    weight = candidates.heat**3
    by_corner = np.repeat(weight[:, None], 4, axis=1)
    plane = fit_plane(candidates.quads, by_corner, levels[0].shape)
    level = min(GROUND_LEVEL, len(levels) - 1)
    ground = ground_likeness(levels[level], candidates.quads / 2**level)
    refined = refine(levels, plane, poses_of(plane.to_plane(candidates.quads)), ground, weight)
    told = poses_of(refined.plane.to_plane(candidates.quads))
    bare = bare_corners(levels[level], refined.plane.to_photo(refined.corners) / 2**level, ground)
    sure = confidence(candidates.heat, refined.seen, told, bare)
    return refined.plane, refined.corners, refined.seen, sure


def _whole(quads: NDArray[np.float64], shape: tuple[int, ...]) -> NDArray[np.bool_]:
    """Which quadrilaterals lie within the frame, but for a hair."""
    size = np.array([shape[1], shape[0]])
    hair = 0.04 * np.sqrt(np.abs(_areas(quads)))[:, None, None]
    return np.asarray(((quads > -hair) & (quads < size + hair)).all(axis=(1, 2)))


def _areas(quads: NDArray[np.float64]) -> NDArray[np.float64]:
    one, two = quads[:, 2] - quads[:, 0], quads[:, 3] - quads[:, 1]
    return np.asarray((one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0]) / 2)


def _upright(corners: NDArray[np.float64]) -> NDArray[np.float64]:
    """Corners from the one that is top left when the square is read in its row."""
    poses = poses_of(corners)
    off = poses.turn - common_turn(poses.turn)
    quarter = np.round(off / (np.pi / 2)).astype(int)
    order = (np.arange(4) - quarter[:, None]) % 4
    return np.take_along_axis(corners, order[..., None], axis=1)


def _pixels_per_inch(quads: NDArray[np.float64], side_in: float) -> float:
    return float(np.mean(np.sqrt(np.abs(_areas(quads)))) / side_in)


def _squares(
    plane: Plane,
    corners: NDArray[np.float64],
    seen: NDArray[np.float64],
    sure: NDArray[np.float64],
    lattice: Lattice,
    side_in: float,
) -> tuple[Square, ...]:
    quads = plane.to_photo(corners)
    size = np.stack(sizes(corners), axis=1)
    size = size / np.median(size)
    return tuple(
        Square(
            corners=_as_corners(quads[i]),
            row=int(lattice.row[i]) or None,
            col=int(lattice.col[i]) or None,
            width_in=float(size[i, 0] * side_in),
            height_in=float(size[i, 1] * side_in),
            confidence=float(sure[i]),
            flags=_flags(size[i], seen[i], float(sure[i])),
        )
        for i in lattice.order
    )


def _as_corners(quad: NDArray[np.float64]) -> Corners:
    a, b, c, d = ((float(x), float(y)) for x, y in quad)
    return a, b, c, d


def _flags(size: NDArray[np.float64], seen: NDArray[np.float64], sure: float) -> tuple[str, ...]:
    flags = []
    if np.abs(size - 1).max() > ODD:
        flags.append("odd size")
    if seen.min() < HIDDEN:
        flags.append("side not seen")
    if sure < UNSURE:
        flags.append("unsure")
    return tuple(flags)
