"""What CIEDE2000 is at least, at a tenth of its cost: most of many colours need no more.

By the formula (see `catalog.colour.ciede2000`), with x and y for its terms of chroma and hue:

- S_L is at most 1 + 0.015 x 50^2 / sqrt(20 + 50^2), since a mean L* is at most 50 from 50.
- x^2 + y^2 is at least (da^2 + db^2) / S_C^2: dC'^2 + dH'^2 is the square of the distance in a' and
  b, a' stretches a by 1 to 1.5, and S_H is less than S_C, as T is at most 1.93.
- The mean C' is at most 0.75 (C1 + C2), by the same stretch, and S_C rises with it.
- The rotation is no more than sin 60 degrees times R_C, which rises with the mean C' too, and
  x^2 + y^2 - r x y is at least (1 - r / 2) (x^2 + y^2).
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.models import Lab

Floats = NDArray[np.float64]

MAX_S_L: Final = 1.0 + 0.015 * 50.0**2 / float(np.sqrt(20.0 + 50.0**2))
"""For L* of 0 to 100; beyond that no cloth is, and nothing is bounded."""
MAX_STRETCH: Final = 1.5
SIN_60: Final = float(np.sin(np.radians(60.0)))
ROUNDING: Final = 1.0 - 1e-9
"""Factor by which a bound is taken lower, so that no rounding lifts it over the difference."""


def least_ciede2000(colour: Lab, many: Floats, k_lightness: float = 1.0) -> Floats:
    """Return a lower bound of the CIEDE2000 of a colour and each of many.

    Parameters
    ----------
    colour : Lab
        CIELAB D65.
    many : array, (n, 3)
        L* within 0 to 100; else the bound is 0.
    k_lightness : float
        As for `catalog.colour.ciede2000.ciede2000`.

    Returns
    -------
    array, (n,)
        Never more than the difference.
    """
    one = np.array(colour)
    most_chroma = np.sqrt(many[:, 1] ** 2 + many[:, 2] ** 2) + float(np.hypot(one[1], one[2]))
    least = least_by_steps(many - one, most_chroma, k_lightness)
    known = (many[:, 0] >= 0.0) & (many[:, 0] <= 100.0) & (0.0 <= colour[0] <= 100.0)
    return np.where(known, least, 0.0)


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
    most_chroma = (0.5 * MAX_STRETCH) * chroma
    s_chroma = 1.0 + 0.045 * most_chroma
    square = most_chroma * most_chroma
    seventh = square * square * square * most_chroma
    unturned = 1.0 - SIN_60 * np.sqrt(seventh / (seventh + 25.0**7))
    lighter = steps[:, 0] / (k_lightness * MAX_S_L)
    aside = steps[:, 1] ** 2 + steps[:, 2] ** 2
    least: Floats = ROUNDING * np.sqrt(lighter**2 + unturned * aside / (s_chroma * s_chroma))
    return least
