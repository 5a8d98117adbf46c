"""By how much colours move where the light that they are judged by is another."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from catalog.colour import lab
from catalog.colour.ciede2000 import ciede2000

Floats = NDArray[np.float64]

NINE_TENTHS: Final = 1.443
"""Root mean squares of an error along three axes that nine tenths of a normal cloud lie within
(chi distribution, 3 degrees of freedom: the root of 6.251 / 3)."""
DARKEST: Final = 1e-4
"""Linear light below which a ratio says nothing."""


def moved_by(colours: Floats, level: ArrayLike, tint: ArrayLike) -> Floats:
    """Return by how much doubts of the light's level and tint move colours.

    Parameters
    ----------
    colours : (n, 3)
        CIELAB.
    level, tint : float or (n,)
        Natural logarithm by which the light's brightness, and its red and blue beside its green,
        may be off; standard deviations.

    Returns
    -------
    (n,)
        CIEDE2000, root mean square.
    """
    linear = np.maximum(lab.lab_to_linear(colours), DARKEST)
    levels, tints = (np.broadcast_to(doubt, len(colours)) for doubt in (level, tint))
    none = np.zeros(len(colours))
    changes = np.array([[levels] * 3, [tints, none, none], [none, none, tints]])
    moved = lab.linear_to_lab(linear * np.exp(changes.transpose(0, 2, 1)))
    return np.asarray(np.sqrt(np.square(ciede2000(colours, moved)).sum(axis=0)))


def moved_between(colours: Floats, one: Floats, other: Floats) -> Floats:
    """Return by how much colours (n, 3) move, CIEDE2000, from one white, (3,), to another."""
    linear = np.maximum(lab.lab_to_linear(colours), DARKEST)
    return np.asarray(ciede2000(colours, lab.linear_to_lab(linear * (one / other))))
