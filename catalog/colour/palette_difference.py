"""How far apart two prints look: the difference of their palettes.

It is what it takes to recolour one print into the other, share by share: the least sum over all
ways of carrying the shares of one palette to those of the other, each share times the CIEDE2000
between where it comes from and where it goes (earth mover's distance: Y. Rubner, C. Tomasi, L.
Guibas, Int. J. Computer Vision 40 (2000), 99-121). For two plain squares that is the CIEDE2000
of their colours, to the last bit. README tells what else was tried.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.colour.ciede2000 import ciede2000, ciede2000_matrix
from catalog.colour.transport import least_costs
from catalog.models import Palette

Floats = NDArray[np.float64]

PAIRS_AT_A_TIME: Final = 2048
"""Pairs of palettes whose costs stay in a processor's cache (measured: 1,000 to 4,000 take the
same time a pair, 20,000 half as long again)."""


def palette_difference(one: Palette, two: Palette, k_lightness: float = 1.0) -> float:
    """Return how far apart two palettes are, in CIEDE2000.

    Parameters
    ----------
    one, two : Palette
        Of one colour or more.
    k_lightness : float
        Weight of lightness, as for `ciede2000`.

    Returns
    -------
    float
        0 for equal palettes; symmetric; never more than the largest CIEDE2000 between them.
    """
    return float(palette_differences(one, [two], k_lightness)[0])


def palette_differences(
    one: Palette, others: Sequence[Palette], k_lightness: float = 1.0
) -> Floats:
    """Return how far one palette is from each of several, (n,); see `palette_difference`."""
    away = np.empty(len(others))
    (own,) = _piles([one])
    for pile in _piles(others):
        for start in range(0, len(pile.places), PAIRS_AT_A_TIME):
            some = pile.part(start, start + PAIRS_AT_A_TIME)
            away[some.places] = _apart(own, some, k_lightness)[0]
    return away


def palette_difference_matrix(palettes: Sequence[Palette], k_lightness: float = 1.0) -> Floats:
    """Return how far apart all pairs of palettes are.

    Parameters
    ----------
    palettes : sequence of Palette
        Of one colour or more.
    k_lightness : float
        As for `palette_difference`.

    Returns
    -------
    array, (n, n), exactly symmetric, 0 on the diagonal; where all palettes are of one colour the
    same to the last bit as `ciede2000_matrix`
    """
    matrix = np.zeros((len(palettes), len(palettes)))
    piles = _piles(palettes)
    for number, pile in enumerate(piles):
        if pile.labs.shape[1] == 1:
            own = ciede2000_matrix(pile.labs[:, 0], k_lightness)
            matrix[np.ix_(pile.places, pile.places)] = own
        else:
            _fill(matrix, pile, pile, k_lightness)
        for other in piles[number + 1 :]:
            _fill(matrix, other, pile, k_lightness)
    np.fill_diagonal(matrix, 0.0)
    return matrix


@dataclass(frozen=True, eq=False)
class _Pile:
    """Palettes of as many colours."""

    places: NDArray[np.intp]
    """(n,) where they stand among all."""
    labs: Floats
    """(n, colours, 3) CIELAB."""
    shares: Floats
    """(n, colours)."""

    def part(self, start: int, stop: int | None) -> _Pile:
        some = slice(start, stop)
        return _Pile(self.places[some], self.labs[some], self.shares[some])


def _piles(palettes: Sequence[Palette]) -> list[_Pile]:
    """Sort palettes by how many colours they have, fewest first."""
    numbers = np.array([len(palette) for palette in palettes], np.intp)
    piles = []
    for colours in np.unique(numbers):
        places = np.flatnonzero(numbers == colours)
        some = [palettes[int(place)] for place in places]
        labs = np.array([[one.lab for one in palette] for palette in some], np.float64)
        shares = np.array([[one.share for one in palette] for palette in some], np.float64)
        piles.append(_Pile(places, labs, shares / shares.sum(axis=1, keepdims=True)))
    return piles


def _fill(matrix: Floats, rows: _Pile, columns: _Pile, k_lightness: float) -> None:
    """Write how far palettes of one pile are from those of another, each pair once."""
    step = max(1, PAIRS_AT_A_TIME // len(columns.places))
    for start in range(0, len(rows.places), step):
        some = rows.part(start, start + step)
        rest = columns.part(start, None) if rows is columns else columns
        away = _apart(some, rest, k_lightness)
        if rows is columns:  # sums come out otherwise, in the last bit, the other way round
            corner = np.triu(away[:, : len(away)], 1)
            away[:, : len(away)] = corner + corner.T
        matrix[np.ix_(some.places, rest.places)] = away
        matrix[np.ix_(rest.places, some.places)] = away.T


def _apart(rows: _Pile, columns: _Pile, k_lightness: float) -> Floats:
    """Return the differences, (rows, columns)."""
    (r, a), (c, b) = rows.shares.shape, columns.shares.shape
    away = ciede2000(rows.labs.reshape(-1, 1, 3), columns.labs.reshape(1, -1, 3), k_lightness)
    cost = away.reshape(r, a, c, b).transpose(0, 2, 1, 3).reshape(r * c, a, b)
    carried = np.repeat(rows.shares, c, axis=0), np.tile(columns.shares, (r, 1))
    return least_costs(cost, *carried).reshape(r, c)
