"""Which squares are near others, by what their pairs cost more than their prices."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.matching.solver.whole_costs import WholeCosts

Ints = NDArray[np.int64]


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
    for some, rows in costs.strips():
        excess = rows - price
        excess -= price[some, None]
        i, j = np.nonzero(excess <= reach)
        found.append((i + some.start, j, excess[i, j]))
    i, j, excess = (np.concatenate(each) for each in zip(*found, strict=True))
    return NearPairs(i, j, excess)


class NearSquares:
    """Rows of near squares, wider ones for those that ask for them.

    Parameters
    ----------
    costs : WholeCosts
    price : array, (n,)
    found : NearPairs
        By those prices.
    reach : int
        How far was looked for them.
    """

    def __init__(self, costs: WholeCosts, price: Ints, found: NearPairs, reach: int) -> None:
        self._costs, self._price, self._reach = costs, price, reach
        self._starts = np.searchsorted(found.i, np.arange(costs.n + 1)).tolist()
        self._squares = found.j.tolist()
        cost = found.excess + price[found.i] + price[found.j]
        self._cost = cost.tolist()
        self._rows: dict[int, tuple[int, list[tuple[int, int]]]] = {}

    def row(self, square: int, reach: int) -> list[tuple[int, int]]:
        """Return a square's near ones, each with what the pair costs."""
        far, row = self._rows.get(square, (-1, []))
        if far >= reach:
            return row
        if reach <= self._reach:
            start, stop = self._starts[square : square + 2]
            row = list(zip(self._squares[start:stop], self._cost[start:stop], strict=True))
        else:
            cost = self._costs.rows(slice(square, square + 1))[0]
            near = np.flatnonzero(cost - self._price <= self._price[square] + reach)
            row = list(zip(near.tolist(), cost[near].tolist(), strict=True))
        self._rows[square] = max(reach, self._reach), row
        return row
