"""What tells cloth from cloth at the wall: mean colour, spread of colours, print."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.colour.lab import lab_to_linear, linear_to_lab, pixels_to_lab
from catalog.wall_checking.block_views import PX_PER_IN
from catalog.wall_checking.wall_cloth import WallCloth

Floats = NDArray[np.float64]

FEATURES = 7
"""L*, a*, b* of the mean light; standard deviation of L*, a*, b*; mean step of L* from pixel to
pixel."""
LARGEST_WINDOW = 0.85
"""Side of a window, of the cloth's, so that several places of it remain."""
WINDOW_STEPS = 5
"""Places of a window along each side of the cloth."""
UNKNOWN_PRINT = np.array([0.0, 0.0, 0.0, 6.0, 4.0, 4.0, 4.0])
"""Usual error of the features of cloth of which only the colour is known."""


@dataclass(frozen=True, eq=False)
class ClothFeatures:
    """Features of c cloths, as patches of one area show them."""

    mean: Floats
    """(c, 7)"""
    spread: Floats
    """(c, 7, 7) covariance from part to part of the cloth."""
    clipped: Floats | None = None
    """(c,) share of each that the camera of the bundle's photo clipped; None for none."""


def moments_of(linear: NDArray[np.floating]) -> NDArray[np.float32]:
    """Return what features are averaged of: (..., high, wide, 10) of light (..., high, wide, 3)."""
    shape = linear.shape
    lab = pixels_to_lab(np.ascontiguousarray(linear, np.float32).reshape(-1, *shape[-3:]))
    lab = lab.reshape(shape)
    lightness = lab[..., 0]
    across, down = np.zeros_like(lightness), np.zeros_like(lightness)
    across[..., :-1] = np.abs(np.diff(lightness, axis=-1))
    across[..., -1] = across[..., -2]
    down[..., :-1, :] = np.abs(np.diff(lightness, axis=-2))
    down[..., -1, :] = down[..., -2, :]
    return np.concatenate(
        [np.asarray(linear, np.float32), lab, lab**2, (across + down)[..., None] / 2.0], axis=-1
    )


def features_of(averages: NDArray[np.floating]) -> Floats:
    """Return features (..., 7) of the averages (..., 10 or more) of `moments_of`."""
    told = np.asarray(averages, np.float64)
    spread = np.sqrt(np.maximum(told[..., 6:9] - told[..., 3:6] ** 2, 0.0))
    return np.concatenate([linear_to_lab(told[..., :3]), spread, told[..., 9:10]], axis=-1)


class ClothsInHand:
    """Cloths ready to be compared with patches of any area.

    Parameters
    ----------
    cloths : sequence of WallCloth
    """

    def __init__(self, cloths: Sequence[WallCloth]) -> None:
        self.cloths = tuple(cloths)
        self._sums: dict[int, tuple[list[int], NDArray[np.float64]]] = {}
        by_size: dict[int, list[int]] = {}
        for number, cloth in enumerate(self.cloths):
            if cloth.pixels is not None:
                by_size.setdefault(max(4, round(cloth.side * PX_PER_IN)), []).append(number)
        for size, numbers in by_size.items():
            small = np.array([_reduced(self.cloths[number], size) for number in numbers])
            sums = moments_of(small).astype(np.float64).cumsum(axis=1).cumsum(axis=2)
            self._sums[size] = (numbers, np.pad(sums, ((0, 0), (1, 0), (1, 0), (0, 0))))

    def features(self, area: float) -> ClothFeatures:
        """Return the features of the cloths in patches of an area, square inches."""
        mean = np.zeros((len(self.cloths), FEATURES))
        mean[:, :3] = np.array([cloth.lab for cloth in self.cloths]).reshape(-1, 3)
        spread = np.repeat(np.diag(UNKNOWN_PRINT**2)[None], len(self.cloths), axis=0)
        for size, (numbers, sums) in self._sums.items():
            side = round(np.sqrt(area) * PX_PER_IN)
            window = int(np.clip(side, 2, max(2, int(LARGEST_WINDOW * size))))
            starts = np.linspace(0, size - window, WINDOW_STEPS).round().astype(int)
            low, high = np.ix_(starts, starts), np.ix_(starts + window, starts + window)
            corner = (slice(None), high[0], low[1]), (slice(None), low[0], high[1])
            total = sums[:, high[0], high[1]] + sums[:, low[0], low[1]]
            total = total - sums[corner[0]] - sums[corner[1]]
            seen = features_of(total.reshape(len(numbers), -1, total.shape[-1]) / window**2)
            mean[numbers] = seen.mean(axis=1)
            off = seen - mean[numbers][:, None]
            spread[numbers] = off.swapaxes(1, 2) @ off / max(1, seen.shape[1] - 1)
        return ClothFeatures(mean, spread, np.array([cloth.clipped for cloth in self.cloths]))


def _reduced(cloth: WallCloth, size: int) -> NDArray[np.float32]:
    """Return a cloth's pixels as fine as blocks are looked at, what lies on it painted over."""
    import cv2

    pixels = cloth.pixels
    assert pixels is not None
    if cloth.shown is not None and not cloth.shown.all() and cloth.shown.any():
        pixels = np.where(cloth.shown[..., None], pixels, pixels[cloth.shown].mean(axis=0))
    small = cv2.resize(pixels, (size, size), interpolation=cv2.INTER_AREA)
    return np.asarray(small, np.float32)


def plain_linear(cloth: WallCloth) -> Floats:
    """Return the mean light (3,) of a cloth."""
    return np.maximum(np.asarray(lab_to_linear(cloth.lab), np.float64), 0.0)
