"""Costs of pairs as whole numbers, so that sums of them are exact."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.matching.solver.pair_costs import PairCosts

Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

UNITS: Final = 1e8
"""Costs are counted in hundred-millionths of a CIEDE2000, so that equal means equal."""
PARTS: Final = 16
"""Of a unit, in which prices are counted: they are halved again and again."""
FAR: Final = 1 << 60
"""Cost of two that may not be a pair."""
MAX_KEPT: Final = 2_000
"""Squares up to which all whole costs are kept (32 MB); of more they are counted strip by strip."""
WHOLE: Final = UNITS * PARTS
ROUNDED: Final = 1e-6
"""CIEDE2000 by which costs and prices in whole numbers may differ from what they are, at most."""
STRIP: Final = 1 << 18
"""Costs in a strip (2 MB)."""


class WholeCosts:
    """Costs of all pairs, in `PARTS` of `UNITS`, a big one on top against a rule.

    Parameters
    ----------
    cost : PairCosts
    worse : array of bool, shape (n, n), optional
        Pairs of which as few as can be are to be chosen, before all costs.
    pairs : int
        How many are chosen at most.
    """

    def __init__(self, cost: PairCosts, worse: Bools | None, pairs: int) -> None:
        self._cost, self._worse = cost, worse
        self.n = len(cost)
        self.allowed = self.n**2 - int(np.count_nonzero(cost.barred))
        """Pairs that may be, in both directions."""
        unit = round(self._dearest() * UNITS)
        self.big = 0 if worse is None else (pairs + 1) * (unit + 1)
        """Units that one pair against the rule costs: more than any two choices differ by."""
        self.most = (unit + self.big) * PARTS
        """The dearest, at most."""
        self._kept = self._counted(slice(0, self.n)) if self.n <= MAX_KEPT else None

    def rows(self, some: slice | Ints) -> Ints:
        """Return the costs of some squares with all, `FAR` where two may not be a pair."""
        return self._counted(some) if self._kept is None else self._kept[some]

    def strips(self) -> Iterator[tuple[slice, Ints]]:
        """Yield all rows, as many at a time as are handled well."""
        for some in self.parts():
            yield some, self.rows(some)

    def within(
        self, some: slice | Ints, price: Ints, reach: int = 0, but: Ints | None = None
    ) -> tuple[Ints, Ints, Ints]:
        """Return the pairs of some squares with all that cost at most two prices and so much more.

        Costs that aren't kept are held against prices as they are first: few need be counted.

        Parameters
        ----------
        some : slice or array of int
        price : array of int, (n,)
        reach : int
        but : array of int, (n,), optional
            Prices; pairs that cost no more than two of these are left out.

        Returns
        -------
        i, j, cost : array of int, (m,)
            Row by row; ``i`` the pairs' squares among all.
        """
        rows = self._cost.rows(some) if self._kept is None else self._kept[some]
        whole, rounded = (WHOLE, ROUNDED) if self._kept is None else (1, 0)
        may_be = rows - price / whole <= ((price[some] + reach) / whole + rounded)[:, None]
        if but is not None:
            may_be &= rows - but / whole > (but[some] / whole - rounded)[:, None]
        at = np.flatnonzero(may_be)  # in two dimensions it takes times as long
        row = at // self.n
        i, j = np.arange(self.n)[some][row], at - row * self.n
        free = ~self._cost.barred[i, j]
        i, j = i[free], j[free]
        cost = self.of(i, j)
        near = cost - price[i] - price[j] <= reach
        if but is not None:
            near &= cost > but[i] + but[j]
        return i[near], j[near], cost[near]

    def of(self, i: Ints, j: Ints) -> Ints:
        """Return the costs of some allowed pairs."""
        return self.units(i, j) * PARTS

    def units(self, i: Ints, j: Ints, *, plain: bool = False) -> Ints:
        """Return the same in whole units; plain ones without what the rule adds."""
        units = np.rint(self._cost.between(i, j) * UNITS).astype(np.int64)
        if self._worse is not None and not plain:
            units += self.big * self._worse[i, j]
        return units

    def _counted(self, some: slice | Ints) -> Ints:
        barred = self._cost.barred[some]
        units = np.rint(np.where(barred, 0.0, self._cost.rows(some)) * UNITS).astype(np.int64)
        if self._worse is not None:
            units += self.big * self._worse[some]
        units *= PARTS
        units[barred] = FAR
        return units

    def _dearest(self) -> float:
        """Return what the dearest pair costs that may be."""
        dearest = 0.0
        for some in self.parts():
            rows = self._cost.rows(some)
            if rows.max() > dearest:  # to pass over what may not be takes ten times as long
                dearest = float(rows.max(where=~self._cost.barred[some], initial=dearest))
        return dearest

    def parts(self) -> Iterator[slice]:
        """Return all squares, as many at a time as are handled well."""
        step = max(STRIP // max(self.n, 1), 1)
        return (slice(at, min(at + step, self.n)) for at in range(0, self.n, step))
