"""What CIEDE2000 is at least, at a fraction of its cost: most of many colours need no more.

By the formula (see `catalog.colour.ciede2000`), with x and y for its terms of chroma and hue:

- S_L is at most 1 + 0.015 x 50^2 / sqrt(20 + 50^2), since a mean L* is at most 50 from 50.
- dC'^2 + dH'^2 is the square of the distance in a' and b, where a' is a stretched by 1 to 1.5, less
  the more chroma the two have together; S_H is less than S_C, as T is at most 1.93. So x^2 + y^2 is
  at least (da'^2 + db^2) / S_C^2.
- The mean C' is at most half the stretch times C1 + C2, and S_C rises with it. That product rises
  with the sum: its slope is at least 0.33, as r (1 - r^2) is at most 0.385 for the root r that the
  stretch falls by.
- The rotation is no more than sin 60 degrees times R_C, which rises with the mean C' too, and
  x^2 + y^2 - r x y is at least (1 - r / 2) (x^2 + y^2). Where both hues are 5 to 185 degrees so is
  their mean, 90 degrees from the blue that it is for, and there is next to none of it.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from catalog.colour.ciede2000 import seventh_root

Floats = NDArray[np.float64]

MAX_S_L: Final = 1.0 + 0.015 * 50.0**2 / float(np.sqrt(20.0 + 50.0**2))
"""For L* of 0 to 100; beyond that no cloth is, and nothing is bounded."""
BESIDE_GREEN: Final = 1.5 * float(np.tan(np.radians(5.0)))
"""By how many times a, where that is above 0, b has to be above it for hues of 5 to 180 degrees,
however a is stretched."""
NO_TURN: Final = float(np.sin(np.radians(60.0) * np.exp(-((90.0 / 25.0) ** 2))))
"""Of the rotation what `SIN_60` is elsewhere, 90 degrees of hue and more from its blue."""
SIN_60: Final = float(np.sin(np.radians(60.0)))
ROUNDING: Final = 1.0 - 1e-9
"""Factor by which a bound is taken lower, so that no rounding lifts it over the difference."""


def least_ciede2000(one: ArrayLike, two: ArrayLike, k_lightness: float = 1.0) -> Floats:
    """Return a lower bound of the CIEDE2000 of colours.

    Parameters
    ----------
    one, two : array_like, (..., 3)
        CIELAB D65; shapes broadcast against each other. L* within 0 to 100; else the bound is 0.
    k_lightness : float
        As for `catalog.colour.ciede2000.ciede2000`.

    Returns
    -------
    array, the broadcast shape without its last axis
        Never more than the difference.
    """
    first, second = np.asarray(one, np.float64), np.asarray(two, np.float64)
    off_grey = (0.5 * (first[..., 0] + second[..., 0]) - 50.0) ** 2
    s_lightness = 1.0 + 0.015 * off_grey / np.sqrt(20.0 + off_grey)
    turn = np.where(_beside_green(first) & _beside_green(second), NO_TURN, SIN_60)
    steps = tuple(second[..., at] - first[..., at] for at in range(3))
    least = _least(steps, _chroma(first) + _chroma(second), k_lightness * s_lightness, turn)
    return np.where(_bounded(first) & _bounded(second), least, 0.0)


def _bounded(colours: Floats) -> NDArray[np.bool_]:
    return np.asarray((colours[..., 0] >= 0.0) & (colours[..., 0] <= 100.0))


def _chroma(colours: Floats) -> Floats:
    return np.sqrt(colours[..., 1] ** 2 + colours[..., 2] ** 2)


def _beside_green(colours: Floats) -> NDArray[np.bool_]:
    """Tell which colours have a hue of 5 to 180 degrees, stretched or not, or are grey."""
    a, b = colours[..., 1], colours[..., 2]
    return np.asarray((b >= BESIDE_GREEN * a) & (b >= 0.0))


def least_by_steps(steps: Floats, chroma: Floats, k_lightness: float = 1.0) -> Floats:
    """Return a lower bound of the CIEDE2000 of colours by their steps in CIELAB.

    Parameters
    ----------
    steps : array, (n, 3)
    chroma : array, (n,)
        The sum of the two colours' C*ab, or more.
    k_lightness : float

    Returns
    -------
    array, (n,)
        With one chroma a norm of the steps.
    """
    return _least((*steps.T,), chroma, k_lightness * MAX_S_L, SIN_60)


def _least(
    steps: tuple[Floats, ...],
    chroma: Floats,
    lightness_weight: Floats | float,
    turn: Floats | float,
) -> Floats:
    stretch = 1.5 - 0.5 * seventh_root(0.5 * chroma)
    most_chroma = (0.5 * stretch) * chroma
    s_chroma = 1.0 + 0.045 * most_chroma
    unturned = 1.0 - turn * seventh_root(most_chroma)
    lighter = steps[0] / lightness_weight
    aside = (stretch * steps[1]) ** 2 + steps[2] ** 2
    least: Floats = ROUNDING * np.sqrt(lighter**2 + unturned * aside / (s_chroma * s_chroma))
    return least
