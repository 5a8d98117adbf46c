"""From rough squares to exact corners, by what the photo shows along their sides.

The bundle first votes on how much its squares must grow, several times, since at a strong tilt
the plane must follow first. Then each square is moved, turned and (a little) resized to the edges
seen, the plane is fitted again, and the look is repeated with a narrower band and a finer step.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.finding.edges import look
from catalog.finding.growth import vote
from catalog.finding.plane import Plane, Poses, fit_plane, poses_of
from catalog.finding.sides import lines, settled

Array = NDArray[np.float64]

COARSE = ((0.12, 0.006), (0.08, 0.005), (0.05, 0.005))
FINE = ((0.035, 0.0025), (0.018, 0.0015))
"""Reach and step of each look, in sides: 0.005 is 1/40 in on a 5 in square."""
SHARPEN = 0.5
"""See ``edges.look``: only once the band holds little but the edge."""
LEAST_BAND = 6.0
"""No band is narrower to each side than this, px: an edge is blurred over two or three."""
EDGE_ERROR = 0.01
"""Usual error of a refined corner, in sides."""


@dataclass(frozen=True, eq=False)
class Refined:
    """Squares with their corners as the photo shows them."""

    plane: Plane
    corners: Array
    """(n, 4, 2) in the plane, clockwise."""
    seen: Array
    """(n, 4) how clearly each side is seen, 0 to 1."""


def refine(
    levels: list[NDArray[np.uint8]],
    plane: Plane,
    poses: Poses,
    ground: NDArray[np.float32],
    weight: Array,
) -> Refined:
    """Move the squares' sides to the edges that the photo shows.

    Parameters
    ----------
    levels : list of (height, width, 3) uint8
        The photo, then halves of it.
    plane, poses
        Where the squares are supposed to lie.
    ground : (32, 32, 32) float32
        How like the ground a colour is.
    weight : (n,)
        How much each square counts in the fit of the plane.
    """
    shape = levels[0].shape
    corners = poses.corners()
    seen = np.zeros((len(corners), 4))
    pixel = 1 / _side_px(plane, corners)
    for reach, step in COARSE:
        evidence = look(levels, plane, corners, ground, reach, max(step, pixel / 2), 0.0)
        offset, clear = vote(evidence, weight, corners.mean(axis=1))
        known = _by_corner(clear)
        plane, corners = _refit(plane, _grown(corners, offset), weight[:, None] * known, shape)
        corners = poses_of(corners, known).corners()
    for reach, step in FINE:
        corners, seen = _followed(levels, plane, corners, ground, reach, step)
        plane, corners = _refit(plane, corners, weight[:, None] * _by_corner(seen), shape)
    return Refined(plane, corners, seen)


def snap(
    levels: list[NDArray[np.uint8]], plane: Plane, corners: Array, ground: NDArray[np.float32]
) -> tuple[Array, Array]:
    """Move squares (n, 4, 2) of a known plane to their edges; also how clearly sides are seen."""
    seen = np.zeros((len(corners), 4))
    for reach, step in FINE:
        corners, seen = _followed(levels, plane, corners, ground, reach, step)
    return corners, seen


def _followed(
    levels: list[NDArray[np.uint8]],
    plane: Plane,
    corners: Array,
    ground: NDArray[np.float32],
    reach: float,
    step: float,
) -> tuple[Array, Array]:
    """Squares that follow the lines along their sides, and how clearly these are seen."""
    pixel = 1 / _side_px(plane, corners)
    band = max(reach, LEAST_BAND * pixel), max(step, pixel / 2)
    offset, tilt, seen = lines(look(levels, plane, corners, ground, *band, SHARPEN))
    return settled(corners, offset, tilt, seen), seen


def _side_px(plane: Plane, corners: Array) -> float:
    quads = plane.to_photo(corners)
    return float(np.median(np.linalg.norm(np.roll(quads, -1, axis=1) - quads, axis=-1)))


def _by_corner(seen: Array) -> Array:
    """How well each corner (n, 4) is known: both its sides must be seen."""
    return seen * np.roll(seen, 1, axis=1)


def _refit(
    plane: Plane, corners: Array, weight: Array, shape: tuple[int, ...]
) -> tuple[Plane, Array]:
    quads = plane.to_photo(corners)
    plane = fit_plane(quads, weight, shape, error=EDGE_ERROR, start=plane)
    return plane, plane.to_plane(quads)


def _grown(corners: Array, offset: Array) -> Array:
    """Squares whose sides are moved outwards by ``offset`` (n, 4), in sides."""
    side = np.roll(corners, -1, axis=1) - corners
    outward = np.stack([side[..., 1], -side[..., 0]], axis=-1)
    before = np.roll(offset[..., None] * outward, 1, axis=1)
    return corners + offset[..., None] * outward + before
