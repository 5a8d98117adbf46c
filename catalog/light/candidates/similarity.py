"""How like one another squares look, whatever light falls on them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from catalog.light.border_samples import (
    RECTIFIED_PX,
    RectifiedSquares,
    channels_of,
    colour_quantiles,
)

Floats = NDArray[np.float64]

COLOUR_TOLERANCE = (0.03, 0.15)
"""Mean difference of two prints' colours, their means set equal, that one print may show: a fixed
part and a share of the contrast."""
STRUCTURE_TOLERANCE = 0.5
"""Difference in the logarithm of contrast, root mean square over bands, that it may show. With
these, all of 156 pairs found in 12 dev photos without hard shadow were cut from one fabric."""
BAND_EDGES = (1.5, 2.5, 4.0, 6.0, 9.0, 13.0)
"""Borders of bands of spatial frequency, cycles over the square."""
COMPARED_AT_ONCE = 8
"""Squares that are compared with all at a time: what that takes stays in the processor's cache."""
_RINGS = tuple(pairwise(BAND_EDGES))


@dataclass(frozen=True, eq=False)
class PrintSimilarity:
    """What squares look like, their brightness and tint apart from the rest."""

    means: Floats
    """(n, 3) natural logarithm of each square's mean linear light."""
    contrast: Floats
    """(n,) spread of each print, natural logarithm."""
    unlike: Floats
    """(n, n) how unlike two prints are once their means are set equal; 1 is the most that one
    print may show."""


def print_similarity(rectified: RectifiedSquares) -> PrintSimilarity:
    """Tell how like one another squares look, by their colours and the scale of their prints."""
    logs = channels_of(rectified.logs)
    contrast = logs.std(axis=2).mean(axis=1)
    colours = colour_quantiles(logs)
    colours = (colours - colours.mean(axis=2, keepdims=True)).reshape(len(logs), -1)
    structure = np.log(_contrasts(logs) + 0.02)
    weaker = np.minimum(contrast[:, None], contrast)
    apart, bands = np.empty_like(weaker), np.empty_like(weaker)
    for start in range(0, len(logs), COMPARED_AT_ONCE):
        some = np.s_[start : start + COMPARED_AT_ONCE]
        apart[some] = _means(np.abs(colours - colours[some, None]))
        bands[some] = np.sqrt(_means(np.square(structure - structure[some, None])))
    unlike = (
        apart / (COLOUR_TOLERANCE[0] + COLOUR_TOLERANCE[1] * weaker) + bands / STRUCTURE_TOLERANCE
    )
    return PrintSimilarity(np.log(np.exp(logs).mean(axis=2)), contrast, unlike)


def _means(values: Floats) -> Floats:
    """Return means over the last axis: short ones NumPy sums slowly but by a product."""
    return np.asarray(values @ np.full(values.shape[-1], 1.0 / values.shape[-1]))


def _contrasts(logs: Floats) -> Floats:
    """Return each square's contrast, (n, 3 x bands), by spatial frequency, root mean square.

    ``logs`` are (n, 3, SIDE * SIDE).
    """
    window, rings = _rings()
    centred = (logs - logs.mean(axis=2, keepdims=True)) * window.ravel()
    waves = np.fft.rfft2(centred.reshape(len(logs), 3, RECTIFIED_PX, -1)).reshape(len(logs), 3, -1)
    power = np.square(waves.real) + np.square(waves.imag)
    return np.asarray(np.sqrt(power @ rings.T)).reshape(len(logs), -1)


@cache
def _rings() -> tuple[Floats, Floats]:
    """Return the window, (SIDE, SIDE), and how much each wave counts in each band."""
    down, across = (
        np.fft.fftfreq(RECTIFIED_PX) * RECTIFIED_PX,
        np.fft.rfftfreq(RECTIFIED_PX) * RECTIFIED_PX,
    )
    radius = np.hypot(down[:, None], across).ravel()
    twice = np.where((across > 0) & (across < RECTIFIED_PX / 2), 2.0, 1.0)
    weights = np.tile(twice, RECTIFIED_PX)
    window = np.outer(np.hanning(RECTIFIED_PX), np.hanning(RECTIFIED_PX))
    rings = np.array([weights * ((radius >= low) & (radius < high)) for low, high in _RINGS])
    rings /= (window**2).sum() * window.size
    return window, rings
