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
    """What the terms of a smooth light are at n squares, which may lie in m orders."""

    middles: Floats
    """(n, terms), or (m, n, terms)."""
    slopes: Floats
    """(2n, terms), or (m, 2n, terms), over each square."""


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
    field : IlluminationField
        The light to start from.
    view : ReducedView
    squares : RelitSquares
        Of it and of any shadow.
    shadowed : bool
        Whether there was one.
    """
    looks = squares.looks
    seen = _Observed(looks.means, pairs_of(looks.unlike), squares.shading)
    terms = _Terms(field.terms_at(view.centres)[:, 1:], slopes_of_terms(squares.rectified))
    rng, own = np.random.default_rng(0), np.arange(len(looks.means))
    orders = np.array([own, *(rng.permutation(len(own)) for _ in range(PERMUTATIONS))])
    changes, gains = _fits(*_in_orders(seen, terms, orders))
    change, gain, by_chance = changes[0], float(gains[0]), gains[1:]
    bent = np.abs(terms.middles @ change).max()
    if bent > MAX_LOG_RATIO or not beyond_chance(gain, by_chance):
        return field if shadowed else correct(field, view, looks)
    return field.changed(view.centres, change)


def _in_orders(
    seen: _Observed, terms: _Terms, orders: NDArray[np.intp]
) -> tuple[_Observed, _Terms]:
    """Lay the squares' colours elsewhere, in m orders (m, n), and leave their shading there."""
    slopes = terms.slopes[both_slopes(orders)]
    return replace(seen, shading=seen.shading.shuffled(orders)), _Terms(
        terms.middles[orders], slopes
    )


def _fits(seen: _Observed, terms: _Terms) -> tuple[Floats, Floats]:
    """Return the changes of light that squares in m orders bear out best, and their gains.

    Returns
    -------
    changes : (m, terms, 3)
    gains : (m,)
        Nats.
    """
    pairs, shading = seen.pairs, seen.shading
    steps = terms.middles[:, pairs.one] - terms.middles[:, pairs.two]
    apart = seen.means[pairs.one] - seen.means[pairs.two]
    changes = np.zeros((len(steps), steps.shape[-1], 3))
    for bandwidth in BANDWIDTHS:
        for _ in range(MAX_ITERATIONS):
            near = kernel(apart - steps @ changes, pairs, bandwidth)
            crowd = 1.0 / pairs.densities(near)
            alike = steps * (near * (crowd[:, pairs.one] + crowd[:, pairs.two]))[..., None]
            falls = terms.slopes * shading.weights(terms.slopes @ changes) * _KERNEL_SCALE
            changes = _ridge(
                alike.mT @ steps + falls.mT @ terms.slopes,
                alike.mT @ apart + falls.mT @ shading.slopes,
            )
    gained = _log_density(apart - steps @ changes, pairs) - _log_density(apart, pairs)
    likelier = shading.log_likelihood(terms.slopes @ changes) - shading.log_likelihood()
    return changes, np.asarray(gained + likelier)


def _log_density(apart: Floats, pairs: SimilarPairs) -> Floats:
    return np.asarray(np.log(pairs.densities(kernel(apart, pairs))).sum(axis=-1))


def _ridge(square: Floats, right: Floats) -> Floats:
    """Solve for the changes, brightness and tint each held as stiffly as it varies."""
    even = np.eye(square.shape[-1])
    grey = right.mean(axis=-1, keepdims=True)
    bright = np.linalg.solve(square + STIFFNESS * even, grey)
    return np.asarray(bright + np.linalg.solve(square + TINT_STIFFNESS * even, right - grey))
