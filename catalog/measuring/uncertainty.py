"""How far a square's colour may be off."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog import lab
from catalog.models import Lab, Light

Floats = NDArray[np.float64]

COVER = 1.5
"""Standard deviations told. On the 14 dev photos 1.4 covers the truth of 0.89 of a photo's squares
when calibrated on the other 13, photos from 0.5 to 1 (errors of one photo go together); a tenth
more is for photos unlike these."""
LEAST = 0.35
"""CIEDE2000 that no colour is surer than: noise, lens, the camera's sharpening."""
PLACE = (0.02, 0.08)
"""Natural logarithm by which the light at a square may be misjudged where it is as the mean, and
what each unit of the logarithm by which it is brighter or dimmer adds."""
EDGE = 0.12
"""The same for each unit by which the light varies over the square and round it, as at a shadow's
edge."""
STRENGTH = 0.04
"""Share of its chroma by which a colour may be too strong or too weak: the camera's saturation."""
SAMPLE = 0.03
"""Share of the print's spread by which another part of the square differs in the mean."""
CLIPPED = 8.0
"""CIEDE2000 for each unit of the square's share that the camera clipped."""


def covering(
    colour: Lab,
    light: Light,
    around: Floats,
    *,
    spread: float,
    shown: float,
    clipped: float,
) -> tuple[float, float]:
    """Return what covers the true colour nine times in ten, in all and of the square alone.

    Parameters
    ----------
    colour : Lab
    light : Light
    around : (rows, columns, 3)
        The light over the square and half a side beyond, 1 for the mean.
    spread : float
        Of the print, CIEDE2000.
    shown, clipped : float
        Share of the square that is seen, and that the camera clipped.

    Returns
    -------
    tuple of float
        CIEDE2000; the second leaves out what the photo's squares have in common, its white.
    """
    logs = np.log(np.maximum(around.mean(axis=2), 1e-4))
    place = PLACE[0] + PLACE[1] * abs(float(logs.mean())) + EDGE * float(logs.std())
    shared = _moved(colour, light.level_doubt, light.tint_doubt)
    here = _moved(colour, place, 0.3 * place)
    calm = (colour[0], colour[1] * (1 - STRENGTH), colour[2] * (1 - STRENGTH))
    parts = (
        here,
        float(lab.ciede2000(colour, calm)),
        SAMPLE * spread / max(shown, 0.1) ** 0.5,
        CLIPPED * clipped,
        LEAST,
    )
    own = float(np.sqrt(np.square(parts).sum()))
    return COVER * float(np.hypot(own, shared)), COVER * own


def _moved(colour: Lab, level: float, tint: float) -> float:
    """Return the CIEDE2000 by which a doubt of the light's level and tint moves a colour."""
    linear = np.maximum(lab.lab_to_linear(colour), 1e-4)
    changes = np.array([[level] * 3, [tint, 0.0, 0.0], [0.0, 0.0, tint]])
    moved = lab.linear_to_lab(linear * np.exp(changes))
    return float(np.sqrt(np.square(lab.ciede2000(colour, moved)).sum()))
