"""What a print looks like, as numbers."""

from __future__ import annotations

from functools import cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from catalog import lab

Floats = NDArray[np.float64]

PLAIN = 2.0
"""Busyness below which a print passes for plain: about what is just noticeable from arm's length;
solids of the dev photos have 0.3 to 0.9."""
TONAL = 9.0
"""Busyness from which a print is busy: tonals and batiks of the dev photos have 1 to 8."""
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
"""Of CIELAB, along which colours are compared (a sliced earth mover's distance)."""


def busyness(colours: Floats, mean: Floats, shown: NDArray[np.float32]) -> float:
    """Return the mean CIEDE2000 of the print's colours (rows, columns, 3) from their mean."""
    return float(np.average(lab.ciede2000(colours[::2, ::2], mean), weights=shown[::2, ::2]))


def kind(spread: float) -> str:
    """Name the print by its busyness."""
    if spread < PLAIN:
        return "plain"
    return "tonal" if spread < TONAL else "busy"


def signature(colours: Floats, shown: NDArray[np.float32]) -> NDArray[np.float32]:
    """Return a print's colours and structure, whatever the square's rotation.

    Parameters
    ----------
    colours : (side, side, 3)
        CIELAB of the square laid flat.
    shown : (side, side)
        0 where it isn't this square's cloth.

    Returns
    -------
    (229,) float32
        13 x 16 quantiles of the colours along DIRECTIONS, then 3 x 7 contrasts (root mean square)
        of L*, a*, b* in BANDS of spatial frequency, over all orientations.
    """
    pixels = colours[::2, ::2][shown[::2, ::2] > 0]
    steps = (np.arange(QUANTILES) + 0.5) / QUANTILES
    spread = np.quantile(pixels @ DIRECTIONS.T, steps, axis=0).T
    return np.concatenate([spread.ravel(), _bands(colours, shown)]).astype(np.float32)


def _bands(colours: Floats, shown: NDArray[np.float32]) -> Floats:
    window, masks = _rings(colours.shape[0])
    visible = window * shown
    centred = (colours - colours[shown > 0].mean(axis=0)) * visible[..., None]
    power = np.abs(np.fft.fft2(centred, axes=(0, 1))) ** 2
    power /= (visible**2).sum() * window.size
    return np.asarray(np.sqrt(np.tensordot(masks, power, axes=([1, 2], [0, 1])).T).ravel())


@cache
def _rings(side: int) -> tuple[Floats, Floats]:
    steps = np.fft.fftfreq(side) * side
    radius = np.hypot(steps[:, None], steps)
    window = np.outer(np.hanning(side), np.hanning(side))
    masks = [(radius >= low) & (radius < high) for low, high in pairwise(BANDS)]
    return window, np.array(masks, np.float64)
