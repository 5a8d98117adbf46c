"""One square's colours, lit and unlit: which pixels lie in the shadow."""

from __future__ import annotations

from functools import cache, cached_property

import numpy as np
from numpy.typing import NDArray

from catalog.light.border_samples import RECTIFIED_PX

Floats = NDArray[np.float64]

BINS = np.array([42, 12, 12])
"""Of lightness and of two ratios of channels, natural logarithms."""
FIRST_BIN = np.array([-6.0, -1.8, -1.8])
BIN_WIDTH = np.array([0.2, 0.3, 0.3])
BIN_KERNEL = (0.667, 0.1665)
"""Of a colour's count, kept by its own bin and given to each neighbour: a normal curve of 0.6
bins."""
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
        self._logs, self._depth = logs, depth
        self.too_bright = too_bright

    @cached_property
    def _bins(self) -> tuple[NDArray[np.intp], NDArray[np.intp], Floats]:
        """Each pixel's bin, lit and unlit, of those that are filled; which these are, (m, 3)."""
        cells = _bins(np.array([self._logs, self._logs - self._depth]).reshape(-1, 3))
        filled, of_pixel = np.unique(cells @ (BINS[1] * BINS[2], BINS[2], 1), return_inverse=True)
        lit, unlit = of_pixel.reshape(2, -1)
        return lit, unlit, np.stack(np.unravel_index(filled, BINS), axis=1)

    @cached_property
    def _given(self) -> tuple[Floats, Floats]:
        """What the filled bins give each other, (m, m), and what each gives in all, (m,)."""
        bins = self._bins[2]
        near = np.array([BIN_KERNEL[0], BIN_KERNEL[1], *np.zeros(BINS.max())])
        part, *others = (near[np.abs(axis[:, None] - axis)] for axis in bins.T)
        for other in others:
            part *= other
        lost = (bins == 0).astype(float) + (bins == BINS - 1)
        return part, (sum(BIN_KERNEL) + BIN_KERNEL[1] - BIN_KERNEL[1] * lost).prod(axis=1)

    def refined(self, starts: Floats, rim: Floats, known: Floats) -> Floats:
        """Return starts' shares of shadow, (k, SIDE, SIDE), made to fit the print and the rim.

        Each until it has settled (mean field).
        """
        lit, unlit, _ = self._bins
        around, weight = _beyond(rim, known)
        smooth = _smoothing()[:, 1:-1]
        dark = BRIGHTNESS_PENALTY * self.too_bright
        before, shares, going = starts, starts.copy(), np.arange(len(starts))
        for _ in range(MAX_ITERATIONS):
            chance = self._chances(self._counts(before))
            odds = chance.take(unlit, axis=1) - chance.take(lit, axis=1)
            odds = np.minimum(np.maximum(odds.reshape(before.shape) - dark, -3.0), 3.0)
            company = (smooth @ (before - 0.5) @ smooth.T + around) * weight
            after = 1.0 / (1.0 + np.exp(-COLOUR_WEIGHT * odds - company))
            moved = np.abs(after - before).max(axis=(1, 2)) >= CONVERGED
            shares[going] = after
            going, before = going[moved], after[moved]
            if not len(going):
                break
        return shares

    def surprise(self, hard: NDArray[np.bool_]) -> Floats:
        """Return how little likely the square's pixels are, nats, with parts in shadow.

        All lit and all in the shadow are equally likely: one print can't tell them apart.

        Parameters
        ----------
        hard : (k, SIDE, SIDE) bool
            Where the shadow lies.
        """
        split = hard & ~hard.all(axis=(1, 2), keepdims=True)
        counts = self._counts(split.astype(np.float64))
        beyond = (hard & self.too_bright).sum(axis=(1, 2))
        colours = (counts * self._chances(counts)).sum(axis=1)
        return np.asarray((2.0 * beyond - colours) / CORRELATED_PIXELS)

    def _counts(self, shares: Floats) -> Floats:
        """Return the pixels of each filled bin, (k, m)."""
        lit, unlit, bins = self._bins
        flat, size = shares.reshape(len(shares), -1), len(bins)
        first = size * np.arange(len(shares))[:, None]
        counts = np.bincount((lit + first).ravel(), (1.0 - flat).ravel(), size * len(shares))
        counts += np.bincount((unlit + first).ravel(), flat.ravel(), size * len(shares))
        return np.asarray(counts, np.float64).reshape(-1, size)

    def _chances(self, counts: Floats) -> Floats:
        """Return the logarithm of each bin's probability, (k, m), near bins sharing."""
        given, in_all = self._given
        return np.asarray(np.log(counts @ given / (counts @ in_all)[:, None] + MIN_PROBABILITY))


_SIDES: tuple[tuple[int | slice, int | slice], ...] = (
    (0, slice(1, -1)),
    (-1, slice(1, -1)),
    (slice(1, -1), 0),
    (slice(1, -1), -1),
)
_CORNERS = ([0, 0, -1, -1], [0, -1, 0, -1])


def _beyond(rim: Floats, known: Floats) -> tuple[Floats, Floats]:
    """Return what the rim adds to neighbourhoods' shares, (SIDE, SIDE), and what these weigh."""
    around = np.zeros((RECTIFIED_PX + 2, RECTIFIED_PX + 2))
    weight = np.ones_like(around)
    for place, part in zip(_SIDES, range(4), strict=True):
        piece = slice(part * RECTIFIED_PX, (part + 1) * RECTIFIED_PX)
        around[place] = (rim[piece] - 0.5) * known[piece]
        weight[place] = known[piece]
    weight[_CORNERS] = 0.0
    smooth = _smoothing()
    known_there = smooth @ weight @ smooth.T + 1e-6
    return smooth @ around @ smooth.T, NEIGHBOURHOOD_WEIGHT / known_there


@cache
def _smoothing() -> Floats:
    """Return what takes means over neighbourhoods along an axis, (SIDE, SIDE + 2); ends go on."""
    reach = NEIGHBOURHOOD_SIDES * RECTIFIED_PX
    far = round(4.0 * reach)
    steps = np.arange(-far, far + 1)
    weights = np.exp(-0.5 * np.square(steps / reach))
    matrix = np.zeros((RECTIFIED_PX, RECTIFIED_PX + 2))
    for row in range(RECTIFIED_PX):
        places = np.clip(row + 1 + steps, 0, RECTIFIED_PX + 1)
        matrix[row] = np.bincount(places, weights / weights.sum(), RECTIFIED_PX + 2)
    return matrix


def _bins(logs: Floats) -> NDArray[np.intp]:
    """Return each pixel's bin, (n, 3)."""
    axes = np.stack([logs.mean(axis=1), logs[:, 0] - logs[:, 1], logs[:, 2] - logs[:, 1]], axis=-1)
    return np.asarray(np.clip(((axes - FIRST_BIN) / BIN_WIDTH).astype(np.intp), 0, BINS - 1))
