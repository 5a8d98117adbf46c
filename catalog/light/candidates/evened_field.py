"""A light corrected so that squares of one cloth come out alike, wherever they lie."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from catalog.light.candidates.compactness import (
    BANDWIDTH,
    SimilarPairs,
    beyond_chance,
    kernel,
    pairs_of,
)
from catalog.light.candidates.relighting import RelitSquares
from catalog.light.candidates.shading import Shading, both_slopes, slopes_of_terms
from catalog.light.candidates.surface_field import IlluminationField
from catalog.light.reduced_view import ReducedView
from catalog.light.repeated_prints import MAX_LOG_RATIO, correct

Floats = NDArray[np.float64]

BANDWIDTHS = (0.12, 0.08, BANDWIDTH)
"""Natural logarithm, from coarse to fine: how far off the light may still be."""
MAX_ITERATIONS = 6
"""Of reweighting at each bandwidth; more change nothing on the dev photos."""
STIFFNESS, TINT_STIFFNESS = 0.3, 3.0
"""Ridge on the correction's brightness and on its tint, which varies less over a photo. 0.1 and 1.0
flatten bundles without repeats, 1.0 and 10 leave half of the floor's sheen in the real photo of
loose squares (spread within a fabric 2.4 instead of 1.2)."""
PERMUTATIONS = 8
"""Fits with shuffled colours, from which the gain by chance is told."""
_KERNEL_SCALE = 3.0 * BANDWIDTH**2
"""Scale of the kernel's squared differences, by which the pairs' weights are divided."""


@dataclass(frozen=True, eq=False)
class _Observed:
    """What n squares show of the light."""

    means: Floats
    """(n, 3) natural logarithm of their mean light."""
    pairs: SimilarPairs
    shading: Shading


@dataclass(frozen=True, eq=False)
class _Terms:
    """What the terms of a smooth light are at n squares."""

    middles: Floats
    """(n, terms)"""
    slopes: Floats
    """(2n, terms) over each square."""


def refine_field(
    field: IlluminationField, view: ReducedView, squares: RelitSquares, *, shadowed: bool
) -> IlluminationField:
    """Correct a light by all squares that may be cut from one cloth, and by their shading.

    Squares' colours are made as dense as a smooth change of light can make them that agrees with
    how light falls off within each (expectation and maximisation on a kernel density). Where that
    gains no more than it would with the squares' colours shuffled, only prints that are surely the
    same count, and under a hard shadow, whose borders disturb them, nothing does.

    Parameters
    ----------
    field : Smooth
        The light to start from.
    view : View
    squares : RelitSquares
        Of it and of any shadow.
    shadowed : bool
        Whether there was one.
    """
    looks = squares.looks
    seen = _Observed(looks.means, pairs_of(looks.unlike), squares.shading)
    terms = _Terms(field.terms_at(view.centres)[:, 1:], slopes_of_terms(squares.rectified))
    change, gain = _fit(seen, terms)
    rng = np.random.default_rng(0)
    orders = [rng.permutation(len(looks.means)) for _ in range(PERMUTATIONS)]
    by_chance = np.array([_fit(*_shuffled(seen, terms, order))[1] for order in orders])
    bent = np.abs(terms.middles @ change).max()
    if bent > MAX_LOG_RATIO or not beyond_chance(gain, by_chance):
        return field if shadowed else correct(field, view, looks)
    return field.changed(view.centres, change)


def _shuffled(seen: _Observed, terms: _Terms, order: NDArray[np.intp]) -> tuple[_Observed, _Terms]:
    """Lay the squares' colours elsewhere, and leave their shading where it is."""
    slopes = terms.slopes[both_slopes(order)]
    shading = seen.shading.shuffled(order)
    return replace(seen, shading=shading), _Terms(terms.middles[order], slopes)


def _fit(seen: _Observed, terms: _Terms) -> tuple[Floats, float]:
    """Return the change of light, (terms, 3), that squares bear out best, and its gain, nats."""
    pairs, shading = seen.pairs, seen.shading
    steps = terms.middles[pairs.one] - terms.middles[pairs.two]
    apart = seen.means[pairs.one] - seen.means[pairs.two]
    change = np.zeros((steps.shape[1], 3))
    for bandwidth in BANDWIDTHS:
        for _ in range(MAX_ITERATIONS):
            near = kernel(apart - steps @ change, pairs, bandwidth)
            crowd = pairs.densities(near)
            alike = steps * (near * (1 / crowd[pairs.one] + 1 / crowd[pairs.two]))[:, None]
            falls = terms.slopes * shading.weights(terms.slopes @ change) * _KERNEL_SCALE
            change = _ridge(
                alike.T @ steps + falls.T @ terms.slopes, alike.T @ apart + falls.T @ shading.slopes
            )
    gained = _log_density(apart - steps @ change, pairs) - _log_density(apart, pairs)
    likelier = shading.log_likelihood(terms.slopes @ change) - shading.log_likelihood()
    return change, gained + likelier


def _log_density(apart: Floats, pairs: SimilarPairs) -> float:
    return float(np.log(pairs.densities(kernel(apart, pairs))).sum())


def _ridge(square: Floats, right: Floats) -> Floats:
    """Solve for the change, brightness and tint each held as stiffly as it varies."""
    even = np.eye(len(square))
    grey = right.mean(axis=1, keepdims=True)
    bright = np.linalg.solve(square + STIFFNESS * even, grey)
    return np.asarray(bright + np.linalg.solve(square + TINT_STIFFNESS * even, right - grey))
