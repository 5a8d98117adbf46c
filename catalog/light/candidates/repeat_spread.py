"""Whether a light brings squares of one print nearer to each other than the photo shows them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog.colour import lab
from catalog.colour.ciede2000 import ciede2000
from catalog.light.candidates.relighting import RelitSquares
from catalog.light.candidates.similarity import PrintSimilarity
from catalog.light.repeated_prints import MIN_PAIRS, surely_alike

Floats = NDArray[np.float64]

MAX_PLAIN_DIFFERENCE = 0.12
"""Natural logarithm of light, in any channel, within which two plains are taken for one cloth. On
34 photographs 0.99 of the pairs so told in the right light are, but for white and cream (0.34)."""
MAX_COUNTED_DIFFERENCE = 12.0
"""CIEDE2000 up to which a pair counts: one that is no pair after all must not outvote the rest."""
MEAN_TOLERANCE, MEDIAN_TOLERANCE = 0.1, 0.5
"""CIEDE2000 by which the mean and the median may grow: what no eye sees, and by what pieces of one
cloth differ among themselves (``tests/bench/lights.py``: 0.3 to 1.0 in the light chosen)."""


def parts_repeats(light: RelitSquares, photo: RelitSquares) -> bool:
    """Tell whether a light parts squares of one print that the photo's own pixels show alike.

    Squares count as cut from one print where they surely are in either of the two lights, so that
    neither chooses what it is judged by. Plains that look alike in either count too, but as plains
    laid out in order of lightness may look alike by the very light that falls on them, only where
    light doesn't fall off within the squares, as the photo shows them, either.

    Parameters
    ----------
    light : RelitSquares
        The squares freed of the light in question.
    photo : RelitSquares
        The same as the photo shows them.

    Returns
    -------
    bool
        False where too few repeats are known to tell.
    """
    if _further(*repeat_differences(light, photo)):
        return True
    even = bool(photo.shading.log_likelihood() >= light.shading.log_likelihood())
    return even and _further(*repeat_differences(light, photo, plains=True))


def _further(told: Floats, raw: Floats) -> bool:
    if len(told) < MIN_PAIRS:
        return False
    mean, median = told.mean() - raw.mean(), np.median(told) - np.median(raw)
    return bool(mean > MEAN_TOLERANCE or median > MEDIAN_TOLERANCE)


def repeat_differences(
    light: RelitSquares, photo: RelitSquares, *, plains: bool = False
) -> tuple[Floats, Floats]:
    """Return how far repeats lie apart in a light and in the photo, (k,) CIEDE2000 each."""
    one, two = np.triu_indices(len(photo.looks.means), 1)
    alike = np.zeros(len(one), bool)
    for looks in (light.looks, photo.looks):
        alike |= surely_alike(looks, one, two)
        if plains:
            alike |= _one_plain(looks, one, two)
    one, two = one[alike], two[alike]
    return _apart(light.looks, one, two), _apart(photo.looks, one, two)


def _one_plain(
    looks: PrintSimilarity, one: NDArray[np.intp], two: NDArray[np.intp]
) -> NDArray[np.bool_]:
    """Tell which pairs look like one cloth in a light, plain or not."""
    apart = np.abs(looks.means[one] - looks.means[two]).max(axis=1)
    return np.asarray((looks.unlike[one, two] < 1.0) & (apart < MAX_PLAIN_DIFFERENCE))


def _apart(looks: PrintSimilarity, one: NDArray[np.intp], two: NDArray[np.intp]) -> Floats:
    colours = lab.linear_to_lab(np.exp(looks.means))
    apart = np.asarray(ciede2000(colours[one], colours[two]), np.float64)
    return np.minimum(apart, MAX_COUNTED_DIFFERENCE)
