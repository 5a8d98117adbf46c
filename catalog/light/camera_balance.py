"""White where nothing white is seen: how the camera balanced the picture, and what lamps leave."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.colour import camera_response

Floats = NDArray[np.float64]

LAMP: Final = np.array([0.803, -1.264])
"""Natural logarithms of red and of blue over green, linear sRGB, of white under CIE standard
illuminant A, a lamp (chromaticity 0.44758, 0.40745: ISO/CIE 11664-2), beside daylight D65."""
AXIS: Final = LAMP / np.hypot(*LAMP)
"""Daylight to lamplight, length 1."""
WHOLE_LAMP: Final = float(np.hypot(*LAMP))
"""Where the lamp lies along it; a camera takes most of that away. Left over under the five lamps of
the rendered photos are 0.35 to 0.97."""
BRIGHTEST_ERROR: Final = 0.08
"""By how much, along it, the brightest that squares show in each channel misses white: 0.075, root
mean square, over 26 rendered photos without their squares that have white in them, lamplit ones
among them. Across it they miss it by 0.1 to 0.4, since bright greens are rare."""
DAYLIGHT_ERROR: Final = 0.05
"""What cameras leave along it by daylight, and across it by any light: 0.03 to 0.05 on these."""
LAMP_CHANCE: Final = 0.25
"""That a photo without any white was taken by a lamp (choice of ours)."""
ONE_COLOURED: Final = (1.0, 0.02)
"""Chance that the brightest miss white by anything, as those of a bundle of nothing but warm
colours do: where no colour is seen on the far side of their tint, and where some is (choice of
ours; 0.13 and more of the cloth of 36 rendered mixed bundles is such, nothing of three bundles of
reds, pinks and yellows)."""


@dataclass(frozen=True, eq=False)
class CameraBalance:
    """Where white lies between daylight and lamplight."""

    tint: Floats
    """(3,) of luminance 1."""
    doubt: float
    """Natural logarithm by which red and blue over green may be off, root mean square."""
    by_lamp: bool
    """Whether a lamp is the likelier."""


def balance(brightest: Floats, lamp: bool | None, *, mixed: bool = True) -> CameraBalance:
    """Tell white by how the camera balanced the picture, and by a lamp's colour.

    Parameters
    ----------
    brightest : (3,)
        The brightest light that squares show in each channel.
    lamp : bool, optional
        Whether a lamp was on, where the user says so. Else both are weighed by how the brightest
        lie along the line from daylight to lamplight; where neither is out of the question, the
        doubt grows with how far they lie apart.
    mixed : bool
        Whether squares show colours on the far side of the brightest's tint.
    """
    logs = np.log(np.maximum(brightest, 1e-4))
    seen = float(np.clip(AXIS @ (logs[[0, 2]] - logs[1]), 0.0, WHOLE_LAMP))
    chance = _chance_of_lamp(seen, ONE_COLOURED[mixed]) if lamp is None else float(lamp)
    between = chance * (1.0 - chance) * seen**2
    along = chance * BRIGHTEST_ERROR**2 + (1.0 - chance) * DAYLIGHT_ERROR**2 + between
    red, blue = np.exp(chance * seen * AXIS)
    tint = np.array([red, 1.0, blue])
    return CameraBalance(
        tint / float(tint @ camera_response.LUMA),
        float(np.sqrt((along + DAYLIGHT_ERROR**2) / 2.0)),
        chance > 0.5 and chance * seen > 2.0 * DAYLIGHT_ERROR,
    )


def _chance_of_lamp(seen: float, one_coloured: float) -> float:
    """Return the chance of a lamp where the brightest lie so far along the line (Bayes)."""
    spread = float(np.hypot(BRIGHTEST_ERROR, DAYLIGHT_ERROR))
    usual = np.exp(-0.5 * (seen / spread) ** 2) / (spread * np.sqrt(2.0 * np.pi))
    by_day = (1.0 - one_coloured) * usual + one_coloured / WHOLE_LAMP
    by_lamp = 1.0 / WHOLE_LAMP
    return float(LAMP_CHANCE * by_lamp / (LAMP_CHANCE * by_lamp + (1.0 - LAMP_CHANCE) * by_day))
