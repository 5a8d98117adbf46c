"""A photo and halves of it, made once for all that look at it from afar."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Pixels = NDArray[np.uint8]

SMALLEST_LEVEL_PX = 700
"""Halves of the photo are made down to about this many px on its long side."""


def image_pyramid(pixels: Pixels) -> list[Pixels]:
    """Return a photo, its half, the half of that and so on.

    Parameters
    ----------
    pixels : (height, width, 3) uint8
        RGB, upright.
    """
    import cv2

    levels = [pixels]
    while max(levels[-1].shape) > 2 * SMALLEST_LEVEL_PX:
        half = cv2.resize(levels[-1], None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
        levels.append(np.asarray(half, np.uint8))
    return levels


def smallest_of(levels: Sequence[Pixels], long_px: float) -> Pixels:
    """Return the smallest level whose long side is so many px; the photo where none is."""
    return next((one for one in reversed(levels) if max(one.shape[:2]) >= long_px), levels[0])
