"""Sets of 3 or 4, and requests that want the same squares: near the best, with a bound.

A linear program over a growing list of sets gives prices of squares and requests; `sets_under`
finds every set that the prices exceed, so the bound holds for all sets there are. An integer
program over the list, and exchanges of squares, give the answer; where all sets within the gap
can be listed, the integer program over them proves it best.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from catalog.linear_programs import TOLERANCE
from catalog.matching.solver.exchange import Demand, Pick, Rules, exchange, greedy
from catalog.matching.solver.set_columns import Columns, Prices
from catalog.matching.solver.set_enumeration import sets_under

FABRIC_RULE_COST = 300.0
"""Cost of a pair that goes against the rule on fabrics (CIEDE2000 stays under 130)."""
MAX_ROUNDS = 60
MAX_SETS_SEARCHED = 6_000
"""Sets that a search for new columns keeps: while prices are far off there are millions."""
MAX_NEW_PER_SQUARE = 4
"""New columns in a round, for each square."""
MAX_COLUMNS = 15_000
"""For the integer program that proves the answer (measured: 200 squares in threes come to
12,000 and take 5 s; 100 in fours to 1,400 to 5,000 and 0.3 to 2.4 s)."""
MAX_COLUMNS_ROUNDED = 4_000
"""For others, that look for a better start or a lesser worst set."""
MAX_BRANCHES = 300
"""Of the integer program's search."""


@dataclass(frozen=True, eq=False)
class Packing:
    """Sets chosen and a bound on their total difference."""

    picks: list[Pick]
    bound: float


def pack(rules: Rules, worse: NDArray[np.bool_] | None, demands: Sequence[Demand]) -> Packing:
    """Choose sets for all demands: least shortage, then the rule on fabrics, then least total.

    Parameters
    ----------
    rules : Rules
    worse : array of bool, shape (n, n), or None
        Pairs that go against the rule on fabrics.
    demands : sequence of Demand

    Returns
    -------
    Packing
        ``bound`` is for choices that are as little short and as much by that rule as this one.
    """
    plain = rules
    if worse is not None:
        more = FABRIC_RULE_COST * worse
        rules = replace(
            plain, cost=plain.cost + more, costs=tuple(cost + more for cost in plain.costs)
        )
    packer = _Packer(rules, demands)
    picks, bound = packer.run()
    total = sum(map(plain.set_cost, picks))
    bound -= packer.columns.value(picks) - total
    if worse is not None and bound < total - TOLERANCE:
        bound = max(bound, _bound_without_fabric_cost(plain, demands, picks))
    return Packing(picks, min(max(bound, 0.0), total))


def _bound_without_fabric_cost(rules: Rules, demands: Sequence[Demand], picks: list[Pick]) -> float:
    """Return what no choice that is as little short goes under, whatever its fabrics."""
    packer = _Packer(rules, demands)
    packer.columns.add(picks)
    packer.price_out()
    total = sum(map(rules.set_cost, picks))
    return packer.bound - (packer.columns.value(picks) - total)


class _Packer:
    """One run of `pack`."""

    def __init__(self, rules: Rules, demands: Sequence[Demand]) -> None:
        self.rules, self.demands, self.n = rules, demands, len(rules.cost)
        self.columns = Columns(rules, demands)
        self.bound = -np.inf
        """The best bound so far,"""
        self.prices: Prices | None = None
        """and the prices that prove it."""
        self.taken = np.zeros(0)
        """How much of each column the linear program took last."""

    def run(self) -> tuple[list[Pick], float]:
        """Return the sets and the bound, shortages and the rule on fabrics counted in."""
        best = self._exchanged(greedy(self.rules, self.demands))
        self.columns.add(best)
        self.price_out()
        rounded = self.columns.rounded(self.taken)
        best = self._better(best, greedy(self.rules, self.demands, rounded))
        doubt = self._in_doubt(self.columns.value(best) - self.bound)
        if doubt is None or len(doubt) > MAX_COLUMNS_ROUNDED:
            best = self._among_columns(best)
            doubt = self._in_doubt(self.columns.value(best) - self.bound)
        if doubt is None:
            return best, self.bound
        found = self.columns.whole(doubt, MAX_BRANCHES)
        if found is None:
            return best, self.bound
        best = self._better(best, found[0])
        bound = min(max(self.bound, found[1]), self.columns.value(best))
        return self._least_worst(best, doubt), bound

    def _among_columns(self, best: list[Pick]) -> list[Pick]:
        """Look for a better choice among the columns, where they are few or shortage counts."""
        if len(self.demands) == 1 and len(self.columns.picks) > MAX_COLUMNS_ROUNDED:
            return best
        found = self.columns.whole(self.columns.picks, MAX_BRANCHES)
        return self._better(best, found[0] if found else best)

    def _exchanged(self, picks: list[Pick]) -> list[Pick]:
        return exchange(self.rules, self.demands, picks)

    def _better(self, best: list[Pick], other: list[Pick]) -> list[Pick]:
        other, value = self._exchanged(other), self.columns.value
        return other if value(other) < value(best) - TOLERANCE else best

    def price_out(self) -> None:
        """Let columns and prices grow together until no set is under its prices."""
        for _ in range(MAX_ROUNDS):
            prices = self.columns.prices()
            if prices is None:
                return
            self.taken = prices.taken
            fresh, proven = False, True
            least = np.zeros(len(self.demands))
            for at in range(len(self.demands)):
                found, complete = self._search(prices, at, -TOLERANCE, MAX_SETS_SEARCHED)
                proven = proven and complete
                least[at] = min((excess for _, excess in found), default=0.0)
                found.sort(key=lambda item: item[1])
                fresh |= self.columns.add(pick for pick, _ in found[: MAX_NEW_PER_SQUARE * self.n])
            if proven:
                self._raise_bound(prices, least)
            if not fresh:
                return

    def _raise_bound(self, prices: Prices, least: NDArray[np.float64]) -> None:
        """Lower the demands' prices until they hold for every set, and add all up."""
        safe = replace(prices, demand=prices.demand + np.minimum(least, 0.0) - TOLERANCE)
        bound = float(safe.square.sum() + safe.demand @ self.columns.wanted)
        if bound > self.bound:
            self.bound, self.prices = bound, safe

    def _search(
        self, prices: Prices, at: int, limit: float, most: int
    ) -> tuple[list[tuple[Pick, float]], bool]:
        """Return the sets of a demand under a limit with their excess; whether all of them."""
        demand = self.demands[at]
        where = np.nonzero(demand.members)[0]
        price = prices.square[where] + prices.demand[at] / demand.size
        if demand.size == 1:
            alone = zip(where.tolist(), price.tolist(), strict=True)
            return [((at, (v,)), -p) for v, p in alone if -p < limit], True
        cost = self.rules.cost_for(at)[np.ix_(where, where)]
        found = sets_under(cost, price, demand.size, limit, most)
        rows = zip(where[found.members].tolist(), found.excess.tolist(), strict=True)
        picks = [((at, tuple(squares)), excess) for squares, excess in rows]
        return [item for item in picks if self.rules.step_fits(item[0][1])], found.complete

    def _in_doubt(self, gap: float) -> list[Pick] | None:
        """Return all sets within the gap; None where they are too many."""
        doubt: list[Pick] = []
        if self.prices is None:
            return None
        for at in range(len(self.demands)):
            found, complete = self._search(self.prices, at, gap + 10 * TOLERANCE, MAX_COLUMNS)
            if not complete or len(doubt) + len(found) > MAX_COLUMNS:
                return None
            doubt += [pick for pick, _ in found]
        return sorted(doubt)

    def _least_worst(self, best: list[Pick], doubt: list[Pick]) -> list[Pick]:
        """Return the choice of the same value whose worst set is least, as far as found."""
        value = self.columns.value(best)
        while True:
            worst = max(map(self.rules.widest, best), default=0.0)
            doubt = [pick for pick in doubt if self.rules.widest(pick) < worst - TOLERANCE]
            if not doubt or self.columns.least(doubt) > value + TOLERANCE:
                return best
            found = self.columns.whole(doubt, MAX_BRANCHES)
            if found is None or self.columns.value(found[0]) > value + TOLERANCE:
                return best
            best = found[0]
