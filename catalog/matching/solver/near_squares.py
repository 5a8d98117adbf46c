"""Which squares are near others, by what their pairs cost more than their prices."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.matching.solver.whole_costs import FAR, STRIP, WholeCosts

Ints = NDArray[np.int64]

NEVER: Final = FAR // 2
ALL: Final = FAR // 4
"""Twice that is more than any pair costs, and less than one that may not be."""
Near = tuple[int, int]
"""Another square, and what the pair costs."""


@dataclass(frozen=True, eq=False)
class NearPairs:
    """Pairs that cost little more than their prices, row by row."""

    i: Ints
    j: Ints
    excess: Ints
    """By how much they cost more."""

    def some(self, which: NDArray[np.bool_]) -> NearPairs:
        """Return some of them."""
        return NearPairs(self.i[which], self.j[which], self.excess[which])


def pairs_within(costs: WholeCosts, price: Ints, reach: int) -> NearPairs:
    """Return all pairs, in both directions, that cost at most so much more than two prices."""
    found = []
    for some in costs.parts():
        i, j, cost = costs.within(some, price, reach)
        found.append((i, j, cost - price[i] - price[j]))
    i, j, excess = (np.concatenate(each) for each in zip(*found, strict=True))
    return NearPairs(i, j, excess)


class NearSquares:
    """Which squares are near others: pairs that cost no more than both are sought up to.

    So no pair is unknown that costs less than two prices, as long as neither is above what its
    square is sought up to; a square whose price comes near that is sought further.

    Parameters
    ----------
    costs : WholeCosts
    price : array, (n,)
    found : NearPairs
        By those prices.
    reach : int
        How far was looked for them; `NEVER` where all are among them.
    """

    def __init__(self, costs: WholeCosts, price: Ints, found: NearPairs, reach: int) -> None:
        self._costs, self._found = costs, found
        self._cost = found.excess + price[found.i] + price[found.j]
        self._starts = np.searchsorted(found.i, np.arange(costs.n + 1)).tolist()
        self._rows: dict[int, list[Near]] = {}
        self._numbers = list(range(costs.n))
        """One of each: millions of near ones that are sought later would hold one apiece."""
        sought = np.full(costs.n, ALL) if reach >= NEVER else price + reach // 2
        self.up_to: list[int] = sought.tolist()
        """Of each square, `ALL` where all that may be its partners are near."""

    def row(self, square: int) -> list[Near]:
        """Return a square's near ones."""
        row = self._rows.get(square)
        if row is None:
            own = slice(*self._starts[square : square + 2])
            row = list(zip(self._found.j[own].tolist(), self._cost[own].tolist(), strict=True))
            self._rows[square] = row
        return row

    def seek(self, further: Mapping[int, int]) -> dict[int, list[Near]]:
        """Seek near ones of some squares, each up to a price, and return those that weren't so."""
        before = np.array(self.up_to)
        for square, up_to in further.items():
            self.up_to[square] = min(up_to, ALL)
        now, squares = np.array(self.up_to), np.array(list(further))
        fresh: dict[int, list[Near]] = {square: [] for square in further}
        step = max(STRIP // self._costs.n, 1)
        for start in range(0, len(squares), step):
            some = squares[start : start + step]
            fresh_pairs = self._costs.within(some, now, but=before)
            for first, second, price in zip(*(each.tolist() for each in fresh_pairs), strict=True):
                one, two = self._numbers[first], self._numbers[second]
                fresh[one].append((two, price))
                if two not in further:
                    self.row(two).append((one, price))
        for square, found in fresh.items():
            self.row(square).extend(found)
        return fresh
