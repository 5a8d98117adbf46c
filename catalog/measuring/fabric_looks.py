"""What the fabric network says of a square's cloth, whichever part of the print it shows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.system.shipped_network import network

Floats = NDArray[np.float32]

CLOTH_PPI = 25.6
"""Pixels to the inch that the network looks at: it learned at this scale (figures of a twelfth of
an inch are seen), so that squares of any size can be compared."""
PLACE_PX = 8
"""Pixels of cloth to a place of which the network tells."""
PLACES = (4, 32)
"""Places along a square at least, and at most: of 1 1/4 and 10 inches."""
MAX_LIGHT = 1.21
"""Linear light beyond which sheen tells nothing of a print."""


def cloth_px(width_in: float) -> int:
    """Return how many pixels along a side the network looks at.

    Parameters
    ----------
    width_in : float
        Inches of cloth that are shown.
    """
    least, most = PLACES
    return PLACE_PX * min(max(round(width_in * CLOTH_PPI / PLACE_PX), least), most)


@dataclass(frozen=True, eq=False)
class ClothToLookAt:
    """A square's cloth as the network takes it."""

    cloth: Floats
    """(side, side, 3) square roots of linear light."""
    shares: Floats
    """(places, places) of each place, the share of what is the square's cloth that lies there."""


def cloth_to_look_at(even: Floats, shown: Floats, width_in: float) -> ClothToLookAt:
    """Make ready what the network looks at.

    Parameters
    ----------
    even : (side, side, 3)
        A square's cloth laid flat, linear light.
    shown : (k, k)
        0 where it isn't the square's cloth.
    width_in : float
        Inches of it along a side.
    """
    import cv2

    px = cloth_px(width_in)
    cloth = np.asarray(cv2.resize(even, (px, px), interpolation=cv2.INTER_AREA), np.float32)
    np.sqrt(np.clip(cloth, 0.0, MAX_LIGHT, out=cloth), out=cloth)
    if shown.all():
        every = np.full((px // PLACE_PX,) * 2, np.float32((PLACE_PX / px) ** 2))
        return ClothToLookAt(cloth, every)
    free = cv2.resize(shown, (px, px), interpolation=cv2.INTER_AREA) > 0.5
    cloth[~free] = cv2.mean(cloth, free.view(np.uint8))[:3]  # zero where nothing is free
    return ClothToLookAt(cloth, _shares(free))


def fabric_looks(squares: Sequence[ClothToLookAt]) -> list[Floats]:
    """Return what the network says of some squares, those of one size looked at together.

    Returns
    -------
    list of (65,) float32
        Each one's look in 64 numbers, in which pieces of one print lie close together; last the
        natural logarithm of the squared distance that two pieces of such a print are apart.
    """
    net = network("catalog.measuring", "fabric")
    sizes = [len(one.cloth) for one in squares]
    looks: dict[int, Floats] = {}
    for size in set(sizes):
        alike = [number for number, own in enumerate(sizes) if own == size]
        net.setInput(_from_minus_one([squares[number].cloth for number in alike]), "cloth")
        net.setInput(np.stack([squares[number].shares for number in alike])[:, None], "shown")
        looks.update(zip(alike, np.array(net.forward(), np.float32), strict=True))
    return [looks[number] for number in range(len(squares))]


def _from_minus_one(cloths: Sequence[Floats]) -> Floats:
    """Return pictures (side, side, 3), 0 to 1, as (n, 3, side, side), -1 to 1.

    It takes a quarter of the time of OpenCV's `blobFromImages`, which gives the same.
    """
    planes = np.empty((len(cloths), 3, *cloths[0].shape[:2]), np.float32)
    for cloth, plane in zip(cloths, planes, strict=True):
        np.subtract(cloth.transpose(2, 0, 1), np.float32(0.5), out=plane)
    planes *= np.float32(2.0)
    return planes


def _shares(free: NDArray[np.bool_]) -> Floats:
    """Return of each place the share of what is free, in all 1, that lies there."""
    places = free.astype(np.float32).reshape(len(free) // PLACE_PX, PLACE_PX, -1, PLACE_PX)
    weights = places.mean(axis=(1, 3)) + np.float32(1e-6)
    return np.asarray(weights / weights.sum())
