"""What lies on a square, or is folded over, and isn't its cloth."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Shown = NDArray[np.float32]

CALM = 7.0
"""Median CIELAB distance of the cloth's pixels from their middle, up to which what stands out can't
be the print itself: plains and tonals."""
STANDS_OUT = (12.0, 3.5)
"""CIELAB distance from which a pixel stands out, at least, and in medians of all distances."""
TOGETHER = 0.85
"""Share of the pixels that stand out which has to lie in one piece; the motifs of a print lie
apart."""
LEAST, MOST = 0.01, 0.35
"""Share of the square that such a thing covers."""


def uncovered(colours: Floats, shown: Shown) -> Shown:
    """Mark the cloth that nothing lies on: no scissors, label, folded corner, glare.

    Told on plain and tonal cloth only, where one piece that reaches in from the square's edge has
    another colour than all the rest.

    Parameters
    ----------
    colours : (side, side, 3)
        CIELAB of the square laid flat.
    shown : (side, side)
        0 where neighbours may lie over it.

    Returns
    -------
    (side, side) float32
        ``shown``, with what is covered set to 0; the same object where nothing is.
    """
    import cv2

    cloth = colours[shown > 0]
    away = np.linalg.norm(colours - np.median(cloth, axis=0), axis=2)
    usual = float(np.median(away[shown > 0]))
    if usual > CALM:
        return shown
    out = ((away > max(STANDS_OUT[0], STANDS_OUT[1] * usual)) & (shown > 0)).astype(np.uint8)
    number = int(out.sum())
    if not LEAST < number / (shown > 0).sum() < MOST:
        return shown
    joined = cv2.morphologyEx(out, cv2.MORPH_CLOSE, np.ones((5, 5), np.uint8))
    _, marks, stats, _ = cv2.connectedComponentsWithStats(joined)
    largest = 1 + int(np.argmax(stats[1:, cv2.CC_STAT_AREA]))
    thing = marks == largest
    rim = np.concatenate([thing[0], thing[-1], thing[:, 0], thing[:, -1]])
    compact = thing.sum() < 2 * number
    if not (rim.any() and compact and out[thing].sum() >= TOGETHER * number):
        return shown
    around = cv2.dilate(thing.astype(np.uint8), np.ones((5, 5), np.uint8)) > 0
    left = np.where(around, np.float32(0.0), shown)
    return left if left.sum() > 0.5 * shown.sum() else shown
