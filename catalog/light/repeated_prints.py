"""Squares cut from one print in several places, as evidence of the light between them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.light.candidates.similarity import PrintSimilarity
from catalog.light.candidates.surface_field import IlluminationField
from catalog.light.reduced_view import ReducedView

Floats = NDArray[np.float64]

MIN_CONTRAST = 0.12
"""Spread of a print, natural logarithm, from which it can be known again in another light; two
plains of unlike colour would pass for one in two lights."""
MAX_LOG_RATIO = 0.7
"""Natural logarithm by which the ground may have misjudged the light between two squares."""
MAX_CHANNEL_SPREAD = 0.35
"""The same, by which its channels may differ: more is another colourway."""
MIN_PAIRS = 3
"""Fewer say nothing about the light."""
RIDGE = 0.3
"""Ridge on the correction. On the dev photo that needs it most (a glossy table under a window)
regret falls from 0.84 to 0.58, 0.03, 0.04 with 1, 0.3, 0.1; below 0.3 another one gets worse."""
_MAX_ITERATIONS = 15


@dataclass(frozen=True, eq=False)
class _Pairs:
    one: NDArray[np.intp]
    two: NDArray[np.intp]
    apart: Floats
    """(n, 3) by how much brighter the first square is, natural logarithm."""


def correct(
    field: IlluminationField, view: ReducedView, looks: PrintSimilarity
) -> IlluminationField:
    """Correct the light so that squares of one print come out alike.

    Parameters
    ----------
    field : IlluminationField
        The light as the ground has it.
    view : ReducedView
    looks : PrintSimilarity
        Of the squares with that light taken off.

    Returns
    -------
    IlluminationField
        The same where fewer than LEAST_PAIRS pairs are known for one print.
    """
    pairs = _alike(looks)
    if len(pairs.one) < MIN_PAIRS:
        return field
    terms = field.terms_at(view.centres)[:, 1:]
    steps = terms[pairs.one] - terms[pairs.two]
    weights = np.ones(len(steps))
    for _ in range(_MAX_ITERATIONS):
        weighted = steps * weights[:, None]
        stiff = RIDGE * np.eye(terms.shape[1])
        change = np.linalg.solve(weighted.T @ steps + stiff, weighted.T @ pairs.apart)
        residual = np.sqrt(((pairs.apart - steps @ change) ** 2).mean(axis=1))
        scale = max(1.5 * float(np.median(residual)), 0.03)
        weights = (1.0 + (residual / scale) ** 2) ** -2
    return field.changed(view.centres, np.asarray(change, np.float64))


def _alike(looks: PrintSimilarity) -> _Pairs:
    """Return the pairs of squares that are surely cut from one print, whatever their light."""
    one, two = np.triu_indices(len(looks.means), 1)
    sure = surely_alike(looks, one, two)
    return _Pairs(one[sure], two[sure], looks.means[one[sure]] - looks.means[two[sure]])


def surely_alike(
    looks: PrintSimilarity, one: NDArray[np.intp], two: NDArray[np.intp]
) -> NDArray[np.bool_]:
    """Tell which pairs of squares, (k,), are surely cut from one print, whatever their light."""
    weaker = np.minimum(looks.contrast[one], looks.contrast[two])
    apart = looks.means[one] - looks.means[two]
    within = (np.abs(apart).max(axis=1) < MAX_LOG_RATIO) & (
        np.ptp(apart, axis=1) < MAX_CHANNEL_SPREAD
    )
    return np.asarray(within & (looks.unlike[one, two] < 1.0) & (weaker > MIN_CONTRAST))
