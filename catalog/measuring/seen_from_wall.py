"""Cloth as it is seen from the other side of a room, where small figures run together."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.colour.lab import XYZ_FROM_RGB

Floats = NDArray[np.float32]

WALL_DISTANCE_IN: Final = 2.0 / 0.0254
"""Inches from which a design wall is looked at: 2 m (choice of ours: a step back from it)."""
OPPONENT: Final = np.array(
    [[0.279, 0.72, -0.107], [-0.449, 0.29, -0.077], [0.086, -0.59, 0.501]], np.float64
)
"""XYZ to light-dark, red-green and blue-yellow (Zhang and Wandell, A spatial extension of CIELAB
for digital color image reproduction, 1996, from Poirson and Wandell 1993)."""
WHITE: Final = XYZ_FROM_RGB.sum(axis=1)
"""XYZ of D65."""
NEUTRAL_OPPONENT: Final = OPPONENT - np.outer(
    (OPPONENT @ WHITE) / (OPPONENT @ WHITE)[0] * (0.0, 1.0, 1.0), OPPONENT[0]
)
"""The same with no red-green and no blue-yellow in what is grey. In the published channels white
has some, and blurred otherwise than its light it gave black and white checks red and green rims."""
SPREADS: Final = (
    ((0.921, 0.0283), (0.105, 0.133), (-0.108, 4.336)),
    ((0.531, 0.0392), (0.330, 0.494)),
    ((0.488, 0.0536), (0.371, 0.386)),
)
"""Of each of the three: weights and spreads, degrees, of the Gaussians exp(-(r / spread)^2), by the
sum of which the eye blurs it (the same, table of filters; from memory: the table itself couldn't
be opened, one pair was found confirmed in public code)."""

_FROM_RGB: Final = (NEUTRAL_OPPONENT @ XYZ_FROM_RGB).astype(np.float32)
_TO_RGB: Final = np.linalg.inv(NEUTRAL_OPPONENT @ XYZ_FROM_RGB).astype(np.float32)


def seen_from_wall(even: Floats, shown: NDArray[np.bool_], width_in: float) -> Floats:
    """Blur cloth as the eye does from 2 m.

    Parameters
    ----------
    even : (side, side, 3)
        Linear light.
    shown : (side, side) bool
        Which pixels are the square's cloth; the others are taken for its mean.
    width_in : float
        Inches of cloth along a side.

    Returns
    -------
    (side, side, 3) float32
        Linear light. Beyond its sides the cloth is taken to go on as in a mirror.
    """
    import cv2

    if not shown.all():
        even = even.copy()
        even[~shown] = cv2.mean(even, shown.view(np.uint8))[:3]
    side, cosines = len(even), _cosines(len(even))
    planes = (_FROM_RGB @ even.reshape(-1, 3).T).reshape(3, side, side)
    waves = cosines @ planes @ cosines.T * _passed(side, round(width_in, 1))
    blurred = (cosines.T @ waves @ cosines).reshape(3, -1)
    return np.maximum(np.asarray((_TO_RGB @ blurred).T, np.float32).reshape(side, side, 3), 0.0)


@lru_cache(maxsize=4)
def _cosines(side: int) -> Floats:
    """Return the orthonormal cosine transform along a side, (side, side): the second kind."""
    waves = np.cos(np.pi * np.arange(side)[:, None] * (np.arange(side) + 0.5) / side)
    waves *= np.sqrt(2.0 / side)
    waves[0] *= np.sqrt(0.5)
    return waves.astype(np.float32)


@lru_cache(maxsize=32)
def _passed(side: int, width_in: float) -> Floats:
    """Return how much of each wave, (3, side, side), gets through; 1 of the mean."""
    degrees = 2.0 * np.degrees(np.arctan(width_in / 2.0 / WALL_DISTANCE_IN))
    cycles = np.arange(side) / (2.0 * degrees)
    squared = np.square(cycles)[:, None] + np.square(cycles)
    told = []
    for gaussians in SPREADS:
        in_all = sum(weight for weight, _ in gaussians)
        told.append(sum(w / in_all * np.exp(-np.square(np.pi * s) * squared) for w, s in gaussians))
    return np.stack(told).astype(np.float32)
