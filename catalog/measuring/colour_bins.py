"""A print's pixels counted by their colour, those mixed of two colours for little."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Pixels = NDArray[np.float32]

BIN_SIDE = 4.0
"""CIELAB along a side of the bins that pixels are counted in (3 to 5 measure alike)."""
HALF_PURE = 8.0
"""CIELAB distance between a pixel's neighbours on either side at which it counts for half: at a
figure's border, where pixels are mixed of two colours, it is more."""


@dataclass(frozen=True, eq=False)
class ColourBins:
    """Pixels counted by their colour."""

    sums: Floats
    """(n, 5) of each bin: the weight of its pixels, in which those mixed of two colours count for
    little; that times their mean CIELAB; and how many they are."""
    of_pixel: NDArray[np.intp]
    """(m,) each pixel's bin."""

    @property
    def weights(self) -> Floats:
        """(n,) of their pixels."""
        return self.sums[:, 0]

    @property
    def counts(self) -> Floats:
        """(n,) their pixels."""
        return self.sums[:, 4]

    @cached_property
    def colours(self) -> Floats:
        """(n, 3) mean CIELAB."""
        return np.asarray(self.sums[:, 1:4] / self.sums[:, :1])


def weighed(planes: Pixels, shown: NDArray[np.bool_]) -> tuple[Pixels, Pixels]:
    """Return how much m pixels that are shown count, (m,), and their L*, a* and b*, (3, m)."""
    weights = (HALF_PURE / (HALF_PURE + steps(planes))).ravel()
    planes = planes.reshape(3, -1)
    if shown.all():
        return weights, planes
    seen = np.flatnonzero(shown)
    return weights[seen], planes[:, seen]


def steps(planes: Pixels) -> Pixels:
    """Return how far, (side, side), the pixels on either side of each are apart, CIELAB.

    Parameters
    ----------
    planes : (3, side, side) float32
        L*, a* and b*.
    """
    side = planes.shape[1]
    across, down = np.zeros((2, side * side), np.float32)
    lines = planes.reshape(3, -1)  # which wrap round at the rows' ends
    for away, by in ((across, 1), (down, side)):
        step = lines[:, 2 * by :] - lines[:, : -2 * by]
        step *= step
        np.add.reduce(step, axis=0, out=away[by:-by])
    across.reshape(side, side)[:, :: side - 1] = 0.0
    np.maximum(across, down, out=across)
    return np.asarray(np.sqrt(across, out=across)).reshape(side, side)


def binned(weights: Pixels, planes: Pixels) -> ColourBins:
    """Count pixels by their colour, (3, m), those mixed of two colours for little."""
    steps = planes * np.float32(1.0 / BIN_SIDE)
    np.floor(steps, out=steps)
    steps -= np.minimum.reduce(steps, axis=1, keepdims=True)
    _, *many = np.maximum.reduce(steps, axis=1) + np.float32(1.0)
    cell = steps[0]  # which holds such whole numbers exactly
    for step, size in zip(steps[1:], many, strict=True):
        cell *= size
        cell += step
    of_cell = cell.astype(np.intp)
    counts = np.bincount(of_cell)
    filled = np.flatnonzero(counts)
    place = np.empty(len(counts), np.intp)
    place[filled] = np.arange(len(filled))
    of_pixel = place.take(of_cell)
    sums = [np.bincount(of_pixel, weights=one) for one in (weights, *(planes * weights))]
    return ColourBins(np.array([*sums, counts[filled]]).T, of_pixel)
