"""What a print looks like, as numbers."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from catalog import lab

Floats = NDArray[np.float64]

PLAIN = 2.0
TONAL = 9.0
QUANTILES = 16
BANDS = (1.5, 2.5, 4.0, 6.0, 9.0, 13.0, 19.0, 28.0)
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


def busyness(colours: Floats, mean: Floats, shown: NDArray[np.float32]) -> float:
    """Return the mean CIEDE2000 of the print's colours (rows, columns, 3) from their mean."""
    return float(np.average(lab.ciede2000(colours[::2, ::2], mean), weights=shown[::2, ::2]))


def kind(spread: float) -> str:
    """Name the print by its busyness."""
    if spread < PLAIN:
        return "plain"
    return "tonal" if spread < TONAL else "busy"


def signature(colours: Floats, shown: NDArray[np.float32]) -> NDArray[np.float32]:
    """Return colours and structure, whatever the square's rotation."""
    pixels = colours[::2, ::2][shown[::2, ::2] > 0]
    steps = (np.arange(QUANTILES) + 0.5) / QUANTILES
    spread = np.quantile(pixels @ DIRECTIONS.T, steps, axis=0).T
    return np.concatenate([spread.ravel(), _bands(colours)]).astype(np.float32)


def _bands(colours: Floats) -> Floats:
    window, masks = _rings(colours.shape[0])
    centred = (colours - colours.mean(axis=(0, 1))) * window[..., None]
    power = np.abs(np.fft.fft2(centred, axes=(0, 1))) ** 2
    power /= (window**2).sum() * window.size
    return np.sqrt(np.tensordot(masks, power, axes=([1, 2], [0, 1])).T).ravel()


@cache
def _rings(side: int) -> tuple[Floats, Floats]:
    steps = np.fft.fftfreq(side) * side
    radius = np.hypot(steps[:, None], steps)
    window = np.outer(np.hanning(side), np.hanning(side))
    masks = [
        (radius >= low) & (radius < high) for low, high in zip(BANDS[:-1], BANDS[1:], strict=True)
    ]
    return window, np.array(masks, np.float64)
