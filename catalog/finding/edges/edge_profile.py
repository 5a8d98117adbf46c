"""The evidence along the sides of squares: where, near a supposed side, the cloth ends.

Each side is looked at in a band of the photo, straightened by the plane. Over the band's width
runs ``offset`` (outwards positive), along it a number of stretches. An edge of cloth is a step of
colour that lies at one offset in all stretches; a print's own lines do so only in some. Where the
surface is known by its colour, a step towards the surface counts more than one away from it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from catalog.finding.shared_plane import Plane, outward_of
from catalog.finding.surface_colour import bins_of

SEGMENTS = 8
"""Parts of a side that vote by themselves."""
MIN_UNOCCLUDED_FRACTION = 0.375
"""A side of which a smaller part is shown counts as so much less clear."""
CORNER_MARGIN = 0.06
"""Part of a side next to each corner that is not looked at: corners fold, fray and curl."""
SAMPLES_ALONG = CORNER_MARGIN + (1 - 2 * CORNER_MARGIN) * (np.arange(6 * SEGMENTS) + 0.5) / (
    6 * SEGMENTS
)
"""Places along a side that are looked at, 0 to 1."""
BAND_WIDTH = 0.01
"""Colours are averaged so far to each side of a supposed edge, in sides."""
NOISE_LEVELS = 10.0
"""Steps of colour well below this many levels are noise; those far above it count alike."""
SQUARES_AT_ONCE = 8
"""Squares that are looked at at a time: what is worked out of them then stays in the processor's
cache."""
SURFACE_WEIGHT = 0.6
"""How much the colour of the surface may raise or lower a step's worth."""


@dataclass(frozen=True, eq=False)
class EdgeProfiles:
    """Votes of the stretches of each side."""

    offset: NDArray[np.float64]
    """(k,) outwards from the supposed side, in sides."""
    along: NDArray[np.float64]
    """(stretches,) middle of each stretch from the side's middle, in sides."""
    votes: NDArray[np.float32]
    """(n, 4, stretches, k) 0 to about 1: how much the cloth ends there."""
    shown: NDArray[np.bool_]
    """(n, 4, stretches) False where another square lies on top."""

    def counted(self) -> NDArray[np.float64]:
        """How many stretches of each side, (n, 4), its votes are shared among."""
        least = MIN_UNOCCLUDED_FRACTION * self.shown.shape[2]
        return np.asarray(np.maximum(self.shown.sum(axis=2), least), np.float64)

    def only(self, shown: NDArray[np.bool_]) -> EdgeProfiles:
        """The same, but stretches (n, 4, stretches) that aren't shown say nothing."""
        return replace(self, votes=np.where(shown[..., None], self.votes, 0), shown=shown)


def edge_profiles(
    levels: list[NDArray[np.uint8]],
    plane: Plane,
    corners: NDArray[np.float64],
    surface: NDArray[np.float32],
    reach: float,
    step: float,
    along: NDArray[np.float64] = SAMPLES_ALONG,
) -> EdgeProfiles:
    """Gather the evidence for the four sides of each square.

    Parameters
    ----------
    levels : list of (height, width, 3) uint8
        The photo, then halves of it.
    plane : Plane
        From the photo to the cloth.
    corners : (n, 4, 2)
        Supposed corners in the plane, clockwise.
    surface : (32, 32, 32) float32
        How like the surface a colour is, -1 to 1.
    reach, step : float
        Half the band's width and its sampling, in sides.
    along : (samples,)
        Where along each side to look, 0 to 1; as many for each stretch.
    """
    half = max(2, round(BAND_WIDTH / step))
    count = 2 * (round(reach / step) + half) + 1
    offset = np.asarray((np.arange(count) - count // 2) * step, np.float64)
    few = band_colours(levels, plane, corners, along, offset, SQUARES_AT_ONCE)
    votes = np.concatenate([_edge_strengths(pixels, surface, half) for pixels in few])
    inner = slice(half, count - half)
    middles = np.asarray(along.reshape(SEGMENTS, -1).mean(axis=1) - 0.5, np.float64)
    return EdgeProfiles(offset[inner], middles, votes, np.ones(votes.shape[:3], bool))


def band_colours(
    levels: list[NDArray[np.uint8]],
    plane: Plane,
    corners: NDArray[np.float64],
    along: NDArray[np.float64],
    offset: NDArray[np.float64],
    at_once: int,
) -> Iterator[NDArray[np.uint8]]:
    """Colours (m, 4, along, offset, 3) of the bands along the sides of squares (n, 4, 2).

    So many squares at a time, in their order; where there are none, once of none. ``along`` runs
    from 0 to 1 from each corner to the next, ``offset`` outwards, in sides.
    """
    knots_along, knots_across = np.linspace(0, 1, 4), np.linspace(offset[0], offset[-1], 3)
    seen = _knots(plane, corners, knots_along, knots_across)
    rows, columns = _lagrange(knots_along, along), _lagrange(knots_across, offset)
    step = columns[len(offset) // 2 + 1] - columns[len(offset) // 2]
    spacing = np.linalg.norm(rows @ (seen @ step)[..., None], axis=0)
    fitting = np.floor(np.log2(max(np.median(spacing), 1.0)) + 0.5)
    level = int(np.clip(fitting, 0, len(levels) - 1))
    weights = (rows[:, None, :, None] * columns[:, None, :]).reshape(-1, rows[0].size * step.size)
    # counted from the middle of the level's first pixel
    knots = (seen / 2**level - 0.5).reshape(2, len(corners), -1).astype(np.float32)
    shares = np.ascontiguousarray(weights.T, np.float32)
    for first in range(0, max(len(corners), 1), at_once):
        picked = _sample(levels[level], knots[:, first : first + at_once], shares)
        yield picked.reshape(-1, 4, len(along), len(offset), 3)


def _knots(
    plane: Plane,
    corners: NDArray[np.float64],
    along: NDArray[np.float64],
    across: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Photo points (2, n, 4, along, across) of a few places of the bands along the sides.

    The plane's map is smooth: from four places along and three across it is carried on by
    polynomials to a hundredth of a px at 35 degrees of tilt.
    """
    side = np.roll(corners, -1, axis=1) - corners
    outward = outward_of(corners)
    knots = (
        corners[:, :, None, None]
        + along[:, None, None] * side[:, :, None, None]
        + across[:, None] * outward[:, :, None, None]
    )
    return np.moveaxis(plane.to_photo(knots), -1, 0)


def _lagrange(knots: NDArray[np.float64], at: NDArray[np.float64]) -> NDArray[np.float64]:
    """Lagrange weights (len(at), len(knots))."""
    weights = np.ones((len(at), len(knots)))
    for one, knot in enumerate(knots):
        for other in np.delete(knots, one):
            weights[:, one] *= (at - other) / (knot - other)
    return weights


def _sample(
    level: NDArray[np.uint8], knots: NDArray[np.float32], weights: NDArray[np.float32]
) -> NDArray[np.uint8]:
    """Colours (bands, samples, 3) where weights (k, samples) put them between knots (2, ...)."""
    x, y = knots.reshape(2, -1, len(weights)) @ weights
    picked = cv2.remap(level, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(picked, np.uint8)


def _edge_strengths(
    pixels: NDArray[np.uint8], surface: NDArray[np.float32], half: int
) -> NDArray[np.float32]:
    """Saturating colour steps per stretch, weighed by which side looks like surface."""
    like = _by_segment(surface.take(bins_of(pixels))[..., None])
    stepped = _steps(pixels.shape[3], half)
    change = np.moveaxis(_by_segment(pixels), -1, 0) @ stepped
    step = np.sqrt(change[0] ** 2 + change[1] ** 2 + change[2] ** 2)
    towards = np.clip(like[..., 0] @ stepped, -1, 1)
    votes: NDArray[np.float32] = step / (step + NOISE_LEVELS) * (1 + SURFACE_WEIGHT * towards)
    return votes


def _by_segment(values: NDArray[Any]) -> NDArray[np.float32]:
    """Means over stretches, (n, 4, stretches, k, c), of values (n, 4, samples, k, c)."""
    n, sides, samples, count, channels = values.shape
    each = values.reshape(n, sides, SEGMENTS, samples // SEGMENTS, count * channels)
    total = each[:, :, :, 0].astype(np.float32)
    for k in range(1, each.shape[3]):
        total += each[:, :, :, k]
    total /= each.shape[3]
    return total.reshape(n, sides, SEGMENTS, count, channels)


def _steps(count: int, half: int) -> NDArray[np.float32]:
    """Matrix (count, inner) that takes the last ``half`` values inwards from the next outwards."""
    at, of = np.arange(count)[:, None], np.arange(half, count - half)
    outwards = (at > of) & (at <= of + half)
    inwards = (at < of) & (at >= of - half)
    return np.asarray((outwards.astype(np.float32) - inwards) / half, np.float32)
