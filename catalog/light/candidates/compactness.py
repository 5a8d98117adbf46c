"""How closely squares of like print gather in colour, which tells one light from another.

A bundle holds the same cloth more than once, or at least colours that come in families. In the
light that it was really taken in, such squares fall together; in a wrong one they scatter. So the
right light is the one in which the squares' colours are densest (entropy minimisation, as for
shadow removal: Finlayson, Drew and Lu 2009, International Journal of Computer Vision 85, 35).

Density alone would be fooled by squares laid out in colour order and by bundles without repeats.
What a light does by chance is therefore measured on the photo itself: the same light is shuffled
among the squares (permutation test: Good 2005, Permutation, Parametric, and Bootstrap Tests of
Hypotheses), and only what the true places gain over shuffled ones counts.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Numbers = NDArray[np.intp]

BANDWIDTH = 0.06
"""Natural logarithm of light within which squares of one cloth fall: crease, curl and grain."""
LONE_DENSITY = 0.02
"""Density that a square has without any neighbour: what scatters far off adds no more evidence."""
PRINT_WEIGHT_WIDTH = 0.8
"""Width of the weight that two squares' prints have, in the units of `Likeness.unlike`."""
MIN_PAIR_WEIGHT = 0.05
"""Weight under which a pair is left out."""
MAX_NEIGHBOURS = 40
"""Most like squares that each square is compared with."""
PERMUTATIONS = 32
"""Permutations from which the mean and spread under chance are told: each good to a fifth of the
spread."""
SPREAD_FLOOR = 1.0
"""Nats added to a spread under chance, so that a handful of squares decides nothing."""


@dataclass(frozen=True, eq=False)
class SimilarPairs:
    """Pairs of n squares whose prints are like each other."""

    count: int
    one: Numbers
    two: Numbers
    weights: Floats
    """(k,) 0 to 1: how like the prints are."""

    def densities(self, kernel: Floats) -> Floats:
        """Return each square's density, (..., n), from the kernel of each pair, (..., k)."""
        rows = self.count * np.arange(np.prod(kernel.shape[:-1], dtype=int))[:, None]
        size = rows.size * self.count
        one, two = (
            np.bincount((rows + own).ravel(), kernel.ravel(), size) for own in (self.one, self.two)
        )
        return np.asarray(LONE_DENSITY + one + two).reshape(*kernel.shape[:-1], self.count)


def pairs_of(unlike: Floats) -> SimilarPairs:
    """Pair each of n squares with those most like it.

    Parameters
    ----------
    unlike : (n, n)
        As in `Likeness`.
    """
    weights = np.exp(-0.5 * (unlike / PRINT_WEIGHT_WIDTH) ** 2)
    np.fill_diagonal(weights, 0.0)
    if len(weights) > MAX_NEIGHBOURS:
        least = -np.partition(-weights, MAX_NEIGHBOURS, axis=1)[:, MAX_NEIGHBOURS]
        weights = np.where(weights >= np.minimum(least[:, None], least), weights, 0.0)
    one, two = np.nonzero(np.triu(weights > MIN_PAIR_WEIGHT, 1))
    return SimilarPairs(len(unlike), one, two, weights[one, two])


def kernel(apart: Floats, pairs: SimilarPairs, bandwidth: float = BANDWIDTH) -> Floats:
    """Return how near squares of each pair are, (..., k), from their differences (..., k, 3)."""
    red, green, blue = np.moveaxis(np.square(apart / bandwidth), -1, 0)
    return np.asarray(pairs.weights * np.exp((red + green + blue) / -6.0))


def compactness(means: Floats, pairs: SimilarPairs) -> Floats:
    """Return the logarithm of the squares' density, (...), summed over them, nats.

    Parameters
    ----------
    means : (..., n, 3)
        Natural logarithm of the squares' mean light, freed of the light in question.
    pairs : SimilarPairs
    """
    apart = means[..., pairs.one, :] - means[..., pairs.two, :]
    return np.asarray(np.log(pairs.densities(kernel(apart, pairs))).sum(axis=-1))


def log_odds(one: Floats, other: Floats, pairs: SimilarPairs) -> float:
    """Return the logarithm of the odds that one light is right and the other is not, nats.

    If the first is right, the second moves the colours in a way that has nothing to do with them:
    its compactness is that of the true colours moved by a shuffled change. If the second is right,
    the reverse. The difference between both, as seen, is judged by the two distributions (normal).

    Parameters
    ----------
    one, other : (n, 3)
        Natural logarithm of the squares' mean light, freed of either light.
    pairs : SimilarPairs
    """
    rng = np.random.default_rng(0)
    orders = np.array([rng.permutation(len(one)) for _ in range(PERMUTATIONS)])
    change = other - one
    here, there = float(compactness(one, pairs)), float(compactness(other, pairs))
    if_one = compactness(one + change[orders], pairs) - here
    if_other = there - compactness(other - change[orders], pairs)
    return _log_normal(there - here, if_one) - _log_normal(there - here, if_other)


def beyond_chance(gain: float, by_chance: Floats) -> bool:
    """Tell whether a gain lies three spreads and more above the mean of shuffled ones."""
    return bool(gain > by_chance.mean() + 3.0 * by_chance.std() + SPREAD_FLOOR)


def _log_normal(value: float, sample: Floats) -> float:
    spread = float(sample.std()) + SPREAD_FLOOR
    return float(-0.5 * ((value - sample.mean()) / spread) ** 2 - np.log(spread))
