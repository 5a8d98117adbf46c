"""How a print is built: how large its figures are, and of what kind it is."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog.colour.ciede2000 import ciede2000
from catalog.models import Palette, PrintLook, PrintScale

Pixels = NDArray[np.float32]

MAX_TONAL_DIFFERENCE = 15.0
"""CIEDE2000 between the colours of a print up to which they are shades of one."""
MAX_SMALL_IN, MAX_MEDIUM_IN = 0.35, 0.9
"""Inches that figures of a small and of a medium print measure at most."""


def look_of(
    colours: Pixels, shown: NDArray[np.bool_], palette: Palette, width_in: float
) -> PrintLook:
    """Tell how a print is built.

    Parameters
    ----------
    colours : (side, side, 3) float32
        CIELAB of a square laid flat.
    shown : (side, side) bool
        Which pixels are the square's cloth.
    palette : Palette
        The print's colours.
    width_in : float
        Inches of cloth along a side.
    """
    if len(palette) == 1:
        return PrintLook("plain")
    told = np.array([one.lab for one in palette])
    if float(ciede2000(told[0], told[1:]).max()) < MAX_TONAL_DIFFERENCE:
        return PrintLook("tonal")
    return PrintLook(_scale(figure_in(colours, shown, width_in)))


def figure_in(colours: Pixels, shown: NDArray[np.bool_], width_in: float) -> float:
    """Return how large a print's figures are, inches: how far the cloth stays of one colour."""
    side = len(colours)
    variance = float(colours[shown].var(axis=0).sum())
    for lag in range(1, side // 2):
        unlike = []
        for picture, seen in ((colours, shown), (colours.transpose(1, 0, 2), shown.T)):
            both = seen[lag:] & seen[:-lag]
            unlike.append(np.square(picture[lag:] - picture[:-lag]).sum(axis=2)[both].mean())
        if float(np.mean(unlike)) >= variance:
            return 2.0 * lag / side * width_in
    return width_in


def _scale(size_in: float) -> PrintScale:
    if size_in <= MAX_SMALL_IN:
        return "small"
    return "medium" if size_in <= MAX_MEDIUM_IN else "large"
