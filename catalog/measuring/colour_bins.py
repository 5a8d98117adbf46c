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

    weighted: Floats
    """(n, 4) of each bin: the weight of its pixels, in which those mixed of two colours count for
    little, and that times their mean CIELAB."""
    counts: Floats
    """(n,) its pixels."""
    of_pixel: NDArray[np.intp]
    """(m,) each pixel's bin."""

    @property
    def weights(self) -> Floats:
        """(n,) of their pixels."""
        return self.weighted[:, 0]

    @cached_property
    def colours(self) -> Floats:
        """(n, 3) mean CIELAB."""
        return np.asarray(self.weighted[:, 1:] / self.weighted[:, :1])


def weighed(colours: Pixels, shown: NDArray[np.bool_]) -> tuple[Pixels, Pixels]:
    """Return how much m pixels that are shown count, (m,), and their L*, a* and b*, (3, m)."""
    planes = np.ascontiguousarray(colours.transpose(2, 0, 1))
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
    for plane in planes.reshape(3, -1):  # in one line, which wraps round at the rows' ends
        for away, by in ((across, 1), (down, side)):
            step = plane[2 * by :] - plane[: -2 * by]
            step *= step
            away[by:-by] += step
    across.reshape(side, side)[:, :: side - 1] = 0.0
    return np.asarray(np.sqrt(np.maximum(across, down)), np.float32).reshape(side, side)


def binned(weights: Pixels, planes: Pixels) -> ColourBins:
    """Count pixels by their colour, (3, m), those mixed of two colours for little."""
    steps = np.floor(planes * np.float32(1.0 / BIN_SIDE))
    steps -= steps.min(axis=1, keepdims=True)
    _, *many = steps.max(axis=1) + np.float32(1.0)
    cell = steps[0]  # which holds such whole numbers exactly
    for step, size in zip(steps[1:], many, strict=True):
        cell *= size
        cell += step
    of_cell = cell.astype(np.intp)
    counts = np.bincount(of_cell)
    filled = np.flatnonzero(counts)
    place = np.zeros(len(counts), np.intp)
    place[filled] = np.arange(len(filled))
    of_pixel = place[of_cell]
    weighted = [
        np.bincount(of_pixel, weights=one) for one in (weights, *(p * weights for p in planes))
    ]
    return ColourBins(np.stack(weighted, axis=1), counts[filled].astype(np.float64), of_pixel)
