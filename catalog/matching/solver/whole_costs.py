"""Costs of pairs as whole numbers, so that sums of them are exact."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
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
STRIP: Final = 1 << 18
"""Costs in a strip (2 MB)."""


class WholeCosts:
    """Costs of all pairs, in `PARTS` of `UNITS`, a big one on top against a rule.

    Parameters
    ----------
    cost : array of float, shape (n, n)
        Symmetric; inf where two may not be a pair and on the diagonal.
    worse : array of bool, shape (n, n), optional
        Pairs of which as few as can be are to be chosen, before all costs.
    pairs : int
        How many are chosen at most.
    """

    def __init__(self, cost: Floats, worse: Bools | None, pairs: int) -> None:
        self._cost, self._worse = cost, worse
        self.n = len(cost)
        most = max((_largest(part) for part in _strips(cost)), default=0.0)
        unit = round(most * UNITS)
        self.big = 0 if worse is None else (pairs + 1) * (unit + 1)
        """Units that one pair against the rule costs: more than any two choices differ by."""
        self.most = (unit + self.big) * PARTS
        """The dearest, at most."""
        self.allowed = sum(int(np.isfinite(part).sum()) for part in _strips(cost))
        """Pairs that may be, in both directions."""
        self._kept = self._counted(slice(0, self.n)) if self.n <= MAX_KEPT else None

    def rows(self, some: slice | Ints) -> Ints:
        """Return the costs of some squares with all, `FAR` where two may not be a pair."""
        return self._counted(some) if self._kept is None else self._kept[some]

    def strips(self) -> Iterator[tuple[slice, Ints]]:
        """Yield all rows, as many at a time as are handled well."""
        step = max(STRIP // max(self.n, 1), 1)
        for start in range(0, self.n, step):
            some = slice(start, min(start + step, self.n))
            yield some, self.rows(some)

    def of(self, i: Ints, j: Ints) -> Ints:
        """Return the costs of some allowed pairs."""
        return self.units(i, j) * PARTS

    def units(self, i: Ints, j: Ints, *, plain: bool = False) -> Ints:
        """Return the same in whole units; plain ones without what the rule adds."""
        units = np.rint(self._cost[i, j] * UNITS).astype(np.int64)
        if self._worse is not None and not plain:
            units += self.big * self._worse[i, j]
        return units

    def _counted(self, some: slice | Ints) -> Ints:
        cost = self._cost[some]
        allowed = np.isfinite(cost)
        units = np.rint(np.where(allowed, cost, 0.0) * UNITS).astype(np.int64)
        if self._worse is not None:
            units += self.big * self._worse[some]
        units *= PARTS
        units[~allowed] = FAR
        return units


def _strips(cost: Floats) -> Iterator[Floats]:
    step = max(STRIP // max(len(cost), 1), 1)
    for start in range(0, len(cost), step):
        yield cost[start : start + step]


def _largest(cost: Floats) -> float:
    finite = cost[np.isfinite(cost)]
    return float(finite.max()) if len(finite) else 0.0
