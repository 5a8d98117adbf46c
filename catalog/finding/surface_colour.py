"""What the surface looks like: colours seen beside the squares more than in them.

A colour histogram inside the supposed squares against one well outside of them. Where cloth and
surface share a colour the answer is near 0 and the other evidence decides.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from catalog.finding.smoothing import gaussian, smoothed

BINS_PER_CHANNEL = 32
"""Per channel; a bin is 8 levels wide."""
INSIDE, OUTSIDE = 0.8, 1.12
"""Scaled by these about their middles, supposed squares hold only cloth, or all of it."""
BLUR_BINS = 1.2
"""Blur of the histograms, bins: light and noise shift colours by about as much."""
SHADOWS, SHADOW_WEIGHT = (0.85, 0.7, 0.55, 0.4), 0.1
"""Encoded values of surface in the shadow at a cloth's edge, and how much each counts: brings the
median corner on the dev photos from 0.035 to 0.032 in."""
CORNER_PLACES = np.array([[0.05, 0.05], [0.08, 0.08], [0.04, 0.1], [0.1, 0.04]])
"""Places by a corner, in sides along and back: outside the circle that the square holds, inside a
square whose corners are rounded by 0.15."""
PRIOR_PIXELS = 30.0
"""Pixels that a bin must hold before it says much."""


def surface_likelihood(
    small: NDArray[np.uint8],
    quads: NDArray[np.float64],
    others: NDArray[np.float64] | None = None,
) -> NDArray[np.float32]:
    """How like the surface each colour is.

    Parameters
    ----------
    small : (height, width, 3) uint8
        The photo, reduced.
    quads : (n, 4, 2)
        Supposed squares in its px.
    others : (m, 4, 2), optional
        What is neither cloth nor surface.

    Returns
    -------
    (32, 32, 32) float32
        By red, green and blue bin: 1 surely surface, -1 surely cloth, 0 either.
    """
    middle = quads.mean(axis=1, keepdims=True)
    cloth, around = (middle + scale * (quads - middle) for scale in (INSIDE, OUTSIDE))
    if others is not None:
        around = np.concatenate([around, others])
    cloth, outside = (_filled(small.shape, part) for part in (cloth, around))
    bins = bins_of(small)
    cloth_count = _histogram(bins[cloth > 0])
    surface_count = _with_shadows(_histogram(bins[outside == 0]))
    scale = max(cloth_count.sum(), 1.0) / max(surface_count.sum(), 1.0)
    surface_count = surface_count * scale
    few = PRIOR_PIXELS * max(1.0, scale)
    return np.asarray(
        (surface_count - cloth_count) / (surface_count + cloth_count + few), dtype=np.float32
    )


def corner_likelihood(
    small: NDArray[np.uint8], quads: NDArray[np.float64], surface: NDArray[np.float32]
) -> NDArray[np.float64]:
    """How much more like the surface the corners of each square are than its middle, (n,).

    Round things leave the corners of the square round them bare: 1 and more. Cloth gives about 0,
    stickers with rounded corners up to 1. Of the four corners the second least bare counts: one
    may be folded.

    Parameters
    ----------
    small : (height, width, 3) uint8
        The photo, reduced.
    quads : (n, 4, 2)
        Squares in its px.
    surface : (32, 32, 32) float32
        As `surface_likelihood` gives it.
    """
    along, back = np.roll(quads, -1, axis=1) - quads, np.roll(quads, 1, axis=1) - quads
    near = quads[:, :, None] + CORNER_PLACES @ np.stack([along, back], axis=2)
    middle = quads.mean(axis=1)[:, None, None]
    inner = middle + 0.4 * (near - middle)
    corners = _likelihood(small, near, surface).mean(axis=2)
    return np.asarray(
        np.sort(corners, axis=1)[:, 1] - _likelihood(small, inner, surface).mean((1, 2))
    )


INNER = np.stack(np.meshgrid(*[np.linspace(0.15, 0.85, 12)] * 2), axis=-1).reshape(-1, 2)
"""Places (144, 2) inside a square, in sides along and down."""


def inner_places(quads: NDArray[np.float64]) -> NDArray[np.float64]:
    """Places (n, 144, 2) inside of quadrilaterals (n, 4, 2)."""
    right, down = quads[:, 1] - quads[:, 0], quads[:, 3] - quads[:, 0]
    return np.asarray(quads[:, 0][:, None] + INNER @ np.stack([right, down], axis=1))


def inner_likelihood(
    small: NDArray[np.uint8],
    quads: NDArray[np.float64],
    surface: NDArray[np.float32],
    shown: NDArray[np.bool_] | None = None,
) -> NDArray[np.float64]:
    """How like the surface the inside of each quadrilateral is on average, (n,) -1 to 1.

    ``shown`` (n, 144) says which of the `inner_places` no other square covers; the others say
    nothing.
    """
    like = _likelihood(small, inner_places(quads), surface).astype(np.float64)
    weight = np.ones(like.shape) if shown is None else shown + 1e-3
    return np.asarray((like * weight).sum(axis=1) / weight.sum(axis=1))


def _likelihood(
    small: NDArray[np.uint8], points: NDArray[np.float64], surface: NDArray[np.float32]
) -> NDArray[np.float32]:
    last = np.array(small.shape[1::-1]) - 1
    x, y = np.moveaxis(np.clip(np.floor(points), 0, last).astype(int), -1, 0)
    return np.asarray(surface.take(bins_of(small[y, x])))


def bins_of(colours: NDArray[np.uint8]) -> NDArray[np.uint16]:
    """Which bin, of BINS cubed, each colour (..., 3) falls into."""
    bins = colours[..., 0].astype(np.uint16) & 0xF8
    bins <<= 5
    bins |= colours[..., 1] & 0xF8
    bins <<= 2
    bins |= colours[..., 2] >> 3
    return np.asarray(bins, np.uint16)


def _with_shadows(count: NDArray[np.float32]) -> NDArray[np.float32]:
    """Add the surface as it shows in the shadow that cloth casts beside itself."""
    bins = np.stack(np.nonzero(count), axis=1)
    found = count[tuple(bins.T)]
    total = count.copy()
    for darker in SHADOWS:
        dark = np.floor((bins + 0.5) * darker).astype(int)
        np.add.at(total, tuple(dark.T), np.float32(SHADOW_WEIGHT) * found)
    return total


def _filled(shape: tuple[int, ...], quads: NDArray[np.float64]) -> NDArray[np.uint8]:
    mask = np.zeros(shape[:2], np.uint8)
    for quad in np.round(quads).astype(np.int32):
        cv2.fillConvexPoly(mask, quad, 255)
    return mask


def _histogram(bins: NDArray[np.uint16]) -> NDArray[np.float32]:
    count = (
        np.bincount(bins, minlength=BINS_PER_CHANNEL**3)
        .astype(np.float32)
        .reshape((BINS_PER_CHANNEL,) * 3)
    )
    for axis in range(3):
        count = smoothed(count, gaussian(BLUR_BINS, 3), axis=axis).astype(np.float32)
    return count
