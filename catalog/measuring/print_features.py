"""What a print looks like, as numbers."""

from __future__ import annotations

from functools import cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from catalog.colour.ciede2000 import pixels_ciede2000
from catalog.measuring.print_spectrum import powers

Floats = NDArray[np.float64]
Pixels = NDArray[np.float32]

MAX_PLAIN_BUSYNESS = 2.0
"""Busyness below which a print passes for plain: about what is just noticeable from arm's length;
solids of the dev photos have 0.3 to 0.9."""
MAX_TONAL_BUSYNESS = 9.0
"""Busyness from which a print is busy: tonals and batiks of the dev photos have 1 to 8."""
COLOUR_QUANTILES = 16
BAND_EDGES = (1.5, 2.5, 4.0, 6.0, 9.0, 13.0, 19.0, 28.0)
"""Borders of bands of spatial frequency, cycles over the patch."""
_DIAGONAL, _SPACE = 0.5**0.5, 3.0**-0.5
DIRECTIONS = np.array(
    [
        [1, 0, 0], [0, 1, 0], [0, 0, 1],
        [_DIAGONAL, _DIAGONAL, 0], [_DIAGONAL, -_DIAGONAL, 0],
        [_DIAGONAL, 0, _DIAGONAL], [_DIAGONAL, 0, -_DIAGONAL],
        [0, _DIAGONAL, _DIAGONAL], [0, _DIAGONAL, -_DIAGONAL],
        [_SPACE, _SPACE, _SPACE], [_SPACE, -_SPACE, _SPACE],
        [_SPACE, _SPACE, -_SPACE], [-_SPACE, _SPACE, _SPACE],
    ]
)  # fmt: skip
"""Of CIELAB, along which colours are compared (a sliced earth mover's distance)."""


def busyness(colours: Pixels, means: Floats, shown: Pixels) -> Floats:
    """Return the mean CIEDE2000, (n,), of prints' colours from their means.

    Parameters
    ----------
    colours : (n, side, side, 3)
        CIELAB of squares laid flat.
    means : (n, 3)
    shown : (n, side, side)
        0 where it isn't the square's cloth.
    """
    weights = shown[:, ::2, ::2]
    away = pixels_ciede2000(colours[:, ::2, ::2], means[:, None, None])
    away *= weights
    return np.asarray(away.sum(axis=(1, 2)) / weights.sum(axis=(1, 2)), np.float64)


def kind(spread: float) -> str:
    """Name the print by its busyness."""
    if spread < MAX_PLAIN_BUSYNESS:
        return "plain"
    return "tonal" if spread < MAX_TONAL_BUSYNESS else "busy"


def signatures(colours: Pixels, shown: Pixels) -> Pixels:
    """Return prints' colours and structure, whatever the squares' rotation.

    Parameters
    ----------
    colours : (n, side, side, 3)
        CIELAB of squares laid flat.
    shown : (n, side, side)
        0 where it isn't the square's cloth.

    Returns
    -------
    (n, 229) float32
        13 x 16 quantiles of the colours along DIRECTIONS, then 3 x 7 contrasts (root mean square)
        of L*, a*, b* in BANDS of spatial frequency, over all orientations.
    """
    few, seen = colours[:, ::2, ::2], shown[:, ::2, ::2] > 0
    spread = np.empty((len(colours), len(DIRECTIONS) * COLOUR_QUANTILES), np.float32)
    whole = seen.all(axis=(1, 2))
    spread[whole] = _spread(few[whole].reshape(-1, seen[0].size, 3))
    for index in np.flatnonzero(~whole):
        spread[index] = _spread(few[index][seen[index]][None])[0]
    return np.concatenate([spread, _bands(colours, shown)], axis=1)


def _spread(pixels: Pixels) -> Pixels:
    """Return the quantiles of pixels (n, m, 3) along all directions, (n, 13 x 16)."""
    count, size = pixels.shape[:2]
    along = DIRECTIONS.astype(np.float32) @ pixels.transpose(0, 2, 1)
    along.sort(axis=-1)
    place = (np.arange(COLOUR_QUANTILES) + 0.5) / COLOUR_QUANTILES * (size - 1)
    low = place.astype(np.intp)
    beyond = (place - low).astype(np.float32)
    below, above = along[..., low], along[..., np.minimum(low + 1, size - 1)]
    spread = below + beyond * (above - below)
    return np.asarray(spread).reshape(count, along.shape[1] * COLOUR_QUANTILES)


def _bands(colours: Pixels, shown: Pixels) -> Pixels:
    """Return the contrasts, (n, 3 x 7)."""
    count, side = colours.shape[:2]
    window, masks = _rings(side)
    visible = window * shown
    area = shown.sum(axis=(1, 2))[:, None, None]
    planes = np.ascontiguousarray(colours.transpose(0, 3, 1, 2))
    mean = (planes * shown[:, None]).sum(axis=(2, 3), keepdims=True) / area[..., None]
    seen = (planes - mean) * visible[:, None]
    power = powers(seen.reshape(-1, side, side)).reshape(count, 3, -1)
    energy = np.square(visible).sum(axis=(1, 2))[:, None, None] * np.float32(side * side)
    return np.asarray(np.sqrt((power @ masks) / energy).reshape(count, -1), np.float32)


@cache
def _rings(side: int) -> tuple[Pixels, Pixels]:
    """Return the window, (side, side), and each band's waves, (half the plane, bands).

    A real picture's other half is the same, so that waves count twice save on its borders.
    """
    down, across = np.fft.fftfreq(side) * side, np.fft.rfftfreq(side) * side
    radius = np.hypot(down[:, None], across)
    twice = np.where((across > 0) & (across < side / 2), 2.0, 1.0)
    window = np.outer(np.hanning(side), np.hanning(side))
    masks = [twice * ((radius >= low) & (radius < high)) for low, high in pairwise(BAND_EDGES)]
    half = np.array(masks).reshape(len(masks), -1).T
    return window.astype(np.float32), np.ascontiguousarray(half, np.float32)
