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


def cloth_features(cloths: Sequence[WallCloth], area: float) -> ClothFeatures:
    """Return the features of cloths in patches of an area.

    Parameters
    ----------
    cloths : sequence of WallCloth
    area : float
        Square inches.
    """
    told = [_of_cloth(cloth, area) for cloth in cloths]
    return ClothFeatures(np.array([one[0] for one in told]), np.array([one[1] for one in told]))


def _of_cloth(cloth: WallCloth, area: float) -> tuple[Floats, Floats]:
    import cv2

    if cloth.pixels is None:
        plain = np.zeros(FEATURES)
        plain[:3] = cloth.lab
        return plain, np.diag(UNKNOWN_PRINT**2)
    pixels = cloth.pixels
    if cloth.shown is not None and not cloth.shown.all() and cloth.shown.any():
        pixels = np.where(cloth.shown[..., None], pixels, pixels[cloth.shown].mean(axis=0))
    size = max(4, round(cloth.side * PX_PER_IN))
    small = np.float32(1) * cv2.resize(pixels, (size, size), interpolation=cv2.INTER_AREA)
    window = int(np.clip(round(np.sqrt(area) * PX_PER_IN), 2, max(2, LARGEST_WINDOW * size)))
    sums = cv2.boxFilter(
        moments_of(small), -1, (window, window), anchor=(0, 0), borderType=cv2.BORDER_REPLICATE
    )
    starts = np.unique(np.linspace(0, size - window, WINDOW_STEPS).round().astype(int))
    seen = features_of(sums[np.ix_(starts, starts)].reshape(-1, sums.shape[-1]))
    if len(seen) < 2:
        return seen[0], np.zeros((FEATURES, FEATURES))
    return seen.mean(axis=0), np.cov(seen.T)


def plain_linear(cloth: WallCloth) -> Floats:
    """Return the mean light (3,) of a cloth."""
    return np.maximum(np.asarray(lab_to_linear(cloth.lab), np.float64), 0.0)
