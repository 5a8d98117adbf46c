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
FEW: Final = 32
"""Palettes of as many colours below which they are handled with those of more: of 30 to 100 squares
half the time went into handing over many small problems."""


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
            some = pile.at(slice(start, start + PAIRS_AT_A_TIME))
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
    piles = _piles(palettes)
    if len(piles) == 1 and piles[0].labs.shape[1] == 1:
        return ciede2000_matrix(piles[0].labs[:, 0], k_lightness)
    matrix = np.zeros((len(palettes), len(palettes)))
    for number, pile in enumerate(piles):
        if pile.labs.shape[1] == 1:
            own = ciede2000_matrix(pile.labs[:, 0], k_lightness)
            matrix[np.ix_(pile.places, pile.places)] = own
        else:
            _fill(matrix, pile, k_lightness)
        for other in piles[number + 1 :]:
            _fill_between(matrix, other, pile, k_lightness)
    np.fill_diagonal(matrix, 0.0)
    return matrix


def moved_palette_differences(
    palettes: Sequence[Palette],
    moves: Floats,
    pairs: tuple[NDArray[np.intp], NDArray[np.intp]],
    k_lightness: float = 1.0,
) -> Floats:
    """Return how far apart some pairs of palettes are when all their colours have moved.

    Parameters
    ----------
    palettes : sequence of Palette
    moves : array, (times, n, 3)
        CIELAB, by which all colours of a palette move each time.
    pairs : tuple of array of int, (m,)
        Places of the palettes.
    k_lightness : float
        As for `palette_difference`.

    Returns
    -------
    array, (times, m)
    """
    away = np.empty((len(moves), len(pairs[0])))
    piles = _piles(palettes)
    pile_of, row_of = (np.empty(len(palettes), np.intp) for _ in range(2))
    for number, pile in enumerate(piles):
        pile_of[pile.places], row_of[pile.places] = number, np.arange(len(pile.places))
    kinds = pile_of[pairs[0]] * len(piles) + pile_of[pairs[1]]
    for kind in np.unique(kinds):
        which = np.flatnonzero(kinds == kind)
        one, two = (piles[number] for number in divmod(int(kind), len(piles)))
        step = max(1, PAIRS_AT_A_TIME // len(moves))
        for start in range(0, len(which), step):
            some = which[start : start + step]
            ends = [pile.at(row_of[end[some]]) for pile, end in zip((one, two), pairs, strict=True)]
            away[:, some] = _moved_apart(ends[0], ends[1], moves, k_lightness)
    return away


def _moved_apart(one: _Pile, two: _Pile, moves: Floats, k_lightness: float) -> Floats:
    """Return the differences of palettes of one pile and of another, pair by pair, (times, m)."""
    a, b = (pile.labs + moves[:, pile.places][:, :, None] for pile in (one, two))
    cost = ciede2000(a[:, :, :, None], b[:, :, None], k_lightness)
    times, many, rows, columns = cost.shape
    carried = [np.tile(pile.shares, (times, 1)) for pile in (one, two)]
    least = least_costs(cost.reshape(-1, rows, columns), carried[0], carried[1])
    return least.reshape(times, many)


@dataclass(frozen=True, eq=False)
class _Pile:
    """Palettes of as many colours."""

    places: NDArray[np.intp]
    """(n,) where they stand among all."""
    labs: Floats
    """(n, colours, 3) CIELAB."""
    shares: Floats
    """(n, colours)."""

    def at(self, some: slice | NDArray[np.intp]) -> _Pile:
        """Return some of them."""
        return _Pile(self.places[some], self.labs[some], self.shares[some])


def pile_sizes(palettes: Sequence[Palette]) -> NDArray[np.intp]:
    """Return with palettes of how many colours each is handled, (n,): a few go with those of more.

    What a pair comes to hangs on that by its last bits, and on nothing else of the others.
    """
    numbers = np.array([len(palette) for palette in palettes], np.intp)
    sizes, counts = np.unique(numbers, return_counts=True)
    waiting = 0
    for place, (size, count) in enumerate(zip(sizes, counts, strict=True)):
        larger = sizes[place + 1] if place + 1 < len(sizes) else 0
        waiting += count
        if larger and waiting < FEW and size > 1:
            numbers[numbers == size] = larger
        else:
            waiting = 0
    return numbers


def _piles(palettes: Sequence[Palette]) -> list[_Pile]:
    """Sort palettes by how many colours they are handled with."""
    numbers = pile_sizes(palettes)
    piles = []
    for size in np.unique(numbers):
        places = np.flatnonzero(numbers == size)
        piles.append(_pile(places, [palettes[int(place)] for place in places], int(size)))
    return piles


def _pile(places: NDArray[np.intp], palettes: Sequence[Palette], colours: int) -> _Pile:
    """Lay palettes out, those of fewer colours with their first again, of which there is none."""
    full = [(*palette, *palette[:1] * (colours - len(palette))) for palette in palettes]
    labs = np.array([[one.lab for one in palette] for palette in full], np.float64)
    shares = np.array([[one.share for one in palette] for palette in full], np.float64)
    here = np.arange(colours) < np.array([[len(palette)] for palette in palettes])
    shares = np.where(here, shares, 0.0)
    return _Pile(places, labs, shares / shares.sum(axis=1, keepdims=True))


def _fill(matrix: Floats, pile: _Pile, k_lightness: float) -> None:
    """Write how far the palettes of a pile are from each other, each pair worked out once."""
    many = len(pile.places)
    step = max(1, PAIRS_AT_A_TIME // many)
    for start in range(0, many, step):
        rows = np.arange(start, min(start + step, many))
        i, j = np.nonzero(rows[:, None] < np.arange(many))
        one, two = pile.at(rows[i]), pile.at(j)
        cost = ciede2000(one.labs[:, :, None], two.labs[:, None], k_lightness)
        away = least_costs(cost, one.shares, two.shares)
        matrix[one.places, two.places] = matrix[two.places, one.places] = away


def _fill_between(matrix: Floats, rows: _Pile, columns: _Pile, k_lightness: float) -> None:
    """Write how far palettes of one pile are from those of another."""
    step = max(1, PAIRS_AT_A_TIME // len(columns.places))
    for start in range(0, len(rows.places), step):
        some = rows.at(slice(start, start + step))
        away = _apart(some, columns, k_lightness)
        matrix[np.ix_(some.places, columns.places)] = away
        matrix[np.ix_(columns.places, some.places)] = away.T


def _apart(rows: _Pile, columns: _Pile, k_lightness: float) -> Floats:
    """Return the differences, (rows, columns)."""
    (r, a), (c, b) = rows.shares.shape, columns.shares.shape
    away = ciede2000(rows.labs.reshape(-1, 1, 3), columns.labs.reshape(1, -1, 3), k_lightness)
    cost = away.reshape(r, a, c, b).transpose(0, 2, 1, 3).reshape(r * c, a, b)
    carried = np.repeat(rows.shares, c, axis=0), np.tile(columns.shares, (r, 1))
    return least_costs(cost, *carried).reshape(r, c)
