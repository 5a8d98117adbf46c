"""One square's colours, lit and unlit: which pixels lie in the shadow."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog.light.border_samples import RECTIFIED_PX

Floats = NDArray[np.float64]
Chances = NDArray[np.float32]

BINS = (42, 12, 12)
"""Of lightness and of two ratios of channels, natural logarithms."""
_ROOM = (BINS[0], BINS[1] + 2, BINS[2] + 2)
_CELLS = _ROOM[0] * _ROOM[1] * _ROOM[2]
"""The same with an empty bin on both sides of the last two axes, and how many that makes."""
FIRST_BIN = np.array([-6.0, -1.8, -1.8])
BIN_WIDTH = np.array([0.2, 0.3, 0.3])
BIN_KERNEL = (0.667, 0.1665)
"""Of a colour's count, kept by its own bin and given to each neighbour."""
MIN_PROBABILITY = 3e-4
"""Least probability of a colour."""
CORRELATED_PIXELS = 8.0
"""Pixels that tell as much as one would alone: neighbours of one motif are alike."""
MAX_ITERATIONS = 8
CONVERGED = 0.02
"""Greatest change of a pixel's share at which it is not refined further."""
COLOUR_WEIGHT = 0.7
NEIGHBOURHOOD_WEIGHT = 12.0
"""Weights of a pixel's colour and of its neighbourhood in the odds for shadow."""
NEIGHBOURHOOD_SIDES = 0.1
"""Reach of that neighbourhood, sides of a square."""
BRIGHTNESS_PENALTY = 4.0
"""Taken off the odds where the cloth, freed of shadow, would be brighter than white."""


class ShadowPalette:
    """The colours of one square's print, whatever part of it the shadow covers.

    Drawn right, the shadow leaves the print with the fewest colours: cut from one print, both
    parts share them once the shadow is taken off (least entropy).

    Parameters
    ----------
    logs : (SIDE, SIDE, 3)
        Logarithm of linear light, the smooth light taken off.
    depth : (3,)
        Of the shadow, natural logarithm.
    too_bright : (SIDE, SIDE) bool
        Where the cloth, freed of shadow, would be brighter than white.
    """

    def __init__(self, logs: Floats, depth: Floats, too_bright: NDArray[np.bool_]) -> None:
        self.lit, self.unlit = _bins(logs), _bins(logs - depth)
        self.too_bright = too_bright

    def refined(self, start: Floats, rim: Floats, known: Floats) -> Floats:
        """Return a start's share of shadow, made to fit the print and the rim (mean field)."""
        import cv2

        def blurred(values: Floats) -> Floats:
            edge = cv2.BORDER_REPLICATE
            return np.asarray(cv2.GaussianBlur(values, (0, 0), reach, borderType=edge), np.float64)

        reach = NEIGHBOURHOOD_SIDES * RECTIFIED_PX
        around = np.zeros((RECTIFIED_PX + 2, RECTIFIED_PX + 2))
        weight = np.ones_like(around)
        for place, part in zip(_SIDES, range(4), strict=True):
            piece = slice(part * RECTIFIED_PX, (part + 1) * RECTIFIED_PX)
            around[place] = (rim[piece] - 0.5) * known[piece]
            weight[place] = known[piece]
        weight[_CORNERS] = 0.0
        weight = blurred(weight) + 1e-6
        share = start
        for _ in range(MAX_ITERATIONS):
            chance = self._chances(share)
            odds = chance[self.unlit] - chance[self.lit] - BRIGHTNESS_PENALTY * self.too_bright
            around[1:-1, 1:-1] = share - 0.5
            company = (blurred(around) / weight)[1:-1, 1:-1]
            total = np.clip(odds, -3.0, 3.0) * COLOUR_WEIGHT + NEIGHBOURHOOD_WEIGHT * company
            before, share = share, 1.0 / (1.0 + np.exp(-total))
            if np.abs(share - before).max() < CONVERGED:
                break
        return np.asarray(share)

    def surprise(self, hard: NDArray[np.bool_]) -> float:
        """Return how little likely the square's pixels are, nats, with this part in shadow.

        All lit and all in the shadow are equally likely: one print can't tell them apart.
        """
        split = hard if not hard.all() else np.zeros_like(hard)
        chance = self._chances(split.astype(np.float64))
        colours = chance[np.where(split, self.unlit, self.lit)]
        beyond = float((hard & self.too_bright).sum())
        return (2.0 * beyond - float(colours.sum())) / CORRELATED_PIXELS

    def _chances(self, share: Floats) -> Chances:
        """Return the logarithm of each bin's probability."""
        counts = np.bincount(self.lit.ravel(), (1.0 - share).ravel(), _CELLS)
        counts += np.bincount(self.unlit.ravel(), share.ravel(), _CELLS)
        field = _softened(counts.astype(np.float32))
        inner = field.reshape(_ROOM)[:, 1:-1, 1:-1]
        return np.asarray(np.log(field / inner.sum() + np.float32(MIN_PROBABILITY)))


_SIDES: tuple[tuple[int | slice, int | slice], ...] = (
    (0, slice(1, -1)),
    (-1, slice(1, -1)),
    (slice(1, -1), 0),
    (slice(1, -1), -1),
)
_CORNERS = ([0, 0, -1, -1], [0, -1, 0, -1])


def _softened(counts: Chances) -> Chances:
    """Let each bin share with its neighbours along every axis, as a normal curve of 0.6 bins."""
    import cv2

    kernel = np.array([BIN_KERNEL[1], BIN_KERNEL[0], BIN_KERNEL[1]], np.float32)
    flat, none = counts.reshape(BINS[0], -1), np.ones(1, np.float32)
    soft = cv2.sepFilter2D(flat, -1, kernel, kernel, borderType=cv2.BORDER_CONSTANT)
    long = soft.reshape(-1, _ROOM[2])
    soft = cv2.sepFilter2D(long, -1, none, kernel, borderType=cv2.BORDER_CONSTANT)
    return np.asarray(soft, np.float32).ravel()


def _bins(logs: Floats) -> NDArray[np.intp]:
    """Return each pixel's bin, (SIDE, SIDE)."""
    axes = np.stack(
        [logs.mean(axis=2), logs[..., 0] - logs[..., 1], logs[..., 2] - logs[..., 1]], axis=-1
    )
    place = np.clip(((axes - FIRST_BIN) / BIN_WIDTH).astype(np.intp), 0, np.array(BINS) - 1)
    across = (place[..., 0] * _ROOM[1] + place[..., 1] + 1) * _ROOM[2]
    return np.asarray(across + place[..., 2] + 1)
