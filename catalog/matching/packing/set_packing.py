"""Sets of 3 or 4, and requests that want the same squares: near the best, with a bound.

A linear program over a growing list of sets, held under cuts, gives prices of squares, requests and
cuts; `sets_under` finds every set that the prices exceed, so the bound holds for all sets there
are. Its fractions made whole, and neighbourhoods solved exactly, give the answer; where all sets
within the gap can be listed, the integer program over them proves it best.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from catalog.linear_programs import TOLERANCE
from catalog.matching.packing.diving import dive
from catalog.matching.packing.exchange import Demand, Pick, Rules, exchange, greedy
from catalog.matching.packing.near_sets import near_sets
from catalog.matching.packing.neighbourhood_search import MORE_ROUNDS, search
from catalog.matching.packing.pricing import sets_priced
from catalog.matching.packing.regrouping import regroup
from catalog.matching.packing.set_columns import Columns, Prices
from catalog.matching.packing.set_cuts import EPSILON, violated
from catalog.system.one_thread import on_one_thread

FABRIC_RULE_COST = 300.0
"""Cost of a pair that goes against the rule on fabrics (CIEDE2000 stays under 130)."""
MAX_ROUNDS = 60
MAX_CUT_ROUNDS = 15
MIN_RISE = 1e-4
"""Part of the bound by which cuts must raise it; after two rounds with less no more are sought."""
MAX_SETS_SEARCHED = 6_000
"""Sets that a search for new columns keeps: while prices are far off there are millions."""
MAX_NEW_PER_SQUARE = 4
"""New columns in a round, for each square."""
MAX_COLUMNS = 1_500
"""For the integer program that proves the answer."""
CLOSE, NEAR = 0.004, 0.0075
"""Parts of the total by which a choice may lie over the bound where no better one is sought, and
where none is by ways that gain little for their time: less than the 0.01 that is promised."""
EXCESS_LOOKED_AT = 2.0
FEW_LOOKED_AT, MAX_LOOKED_AT = 600, 900
"""Sets that cost less than that over their prices: at first, and where these don't do."""
FEW_BRANCHES = 5
MAX_BRANCHES = 300
"""Of the integer program's search."""


@dataclass(frozen=True, eq=False)
class Packing:
    """Sets chosen and a bound on their total difference."""

    picks: list[Pick]
    bound: float


@on_one_thread
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
    packer = _Packer(rules, demands, plain)
    picks, bound = packer.run()
    total = sum(map(plain.set_cost, picks))
    bound -= packer.columns.value(picks) - total
    if worse is not None and bound < total - TOLERANCE:
        bound = max(bound, _bound_without_fabric_cost(plain, demands, picks))
    return Packing(picks, min(max(bound, 0.0), total))


def _bound_without_fabric_cost(rules: Rules, demands: Sequence[Demand], picks: list[Pick]) -> float:
    """Return what no choice that is as little short goes under, whatever its fabrics."""
    packer = _Packer(rules, demands, rules)
    packer.columns.add(picks)
    packer.price_out()
    total = sum(map(rules.set_cost, picks))
    return packer.bound - (packer.columns.value(picks) - total)


class _Packer:
    """One run of `pack`."""

    def __init__(self, rules: Rules, demands: Sequence[Demand], plain: Rules) -> None:
        self.rules, self.demands, self.n = rules, demands, len(rules.cost)
        self.plain = plain
        """The rules without what goes against the rule on fabrics."""
        self.columns = Columns(rules, demands)
        self.bound = -np.inf
        """The best bound so far,"""
        self.prices: Prices | None = None
        """and the prices that prove it."""
        self.taken = np.zeros(0)
        """How much of each column the linear program took last."""

    def run(self) -> tuple[list[Pick], float]:
        """Return the sets and the bound, shortages and the rule on fabrics counted in."""
        best = exchange(self.rules, self.demands, greedy(self.rules, self.demands))
        self.columns.add(best)
        self.columns.add(near_sets(self.rules, self.demands, np.ones(self.n, bool)))
        self.price_out()
        self._cut_off()
        best = self._searched(best)
        doubt = self._in_doubt(self.columns.value(best) - self.bound)
        if doubt is None:
            return best, self.bound
        cuts = self.columns.cuts
        found = self.columns.whole(doubt, MAX_BRANCHES, start=best, cuts=cuts)
        if found is None:
            return best, self.bound
        best = self._better(best, found[0])
        bound = min(max(self.bound, found[1]), self.columns.value(best))
        return self._least_worst(best, doubt), bound

    def _searched(self, best: list[Pick]) -> list[Pick]:
        """Return a choice at least as good, by way of the linear program."""
        if self.prices is None:
            return best
        begun = greedy(self.rules, self.demands, dive(self.columns, self.taken))
        known = {*best, *begun}
        best = self._better(best, regroup(self.rules, self.demands, begun))
        total = sum(map(self.plain.set_cost, best))
        close, near = (self.bound + part * total + TOLERANCE for part in (CLOSE, NEAR))
        ways: tuple[tuple[float, Callable[[list[Pick]], list[Pick]]], ...] = (
            (close, partial(search, self.columns, self.prices, enough=close)),
            (close, partial(self._among_least, self.prices, close, FEW_LOOKED_AT, known)),
            (close, partial(self._among_least, self.prices, close, MAX_LOOKED_AT, set())),
            (near, partial(search, self.columns, self.prices, enough=close, rounds=MORE_ROUNDS)),
        )
        for enough, look in ways:
            if self.columns.value(best) > enough:
                known.update(best)
                best = self._better(best, look(best))
        return best

    def _among_least(
        self, prices: Prices, enough: float, most: int, known: set[Pick], best: list[Pick]
    ) -> list[Pick]:
        """Look for a better choice among known sets and those of least excess, all at once."""
        some = {*best, *known}
        for at in range(len(self.demands)):
            found, _ = sets_priced(self.columns, prices, at, EXCESS_LOOKED_AT, MAX_COLUMNS)
            found.sort(key=lambda item: (round(item[1], 9), item[0]))
            some.update(pick for pick, _ in found[: most // len(self.demands)])
        # Without cuts: they help to prove the answer, which nobody asks for here.
        answer = self.columns.whole(sorted(some), FEW_BRANCHES, start=best, enough=enough)
        return best if answer is None else answer[0]

    def _better(self, best: list[Pick], other: list[Pick]) -> list[Pick]:
        other, value = exchange(self.rules, self.demands, other), self.columns.value
        return other if value(other) < value(best) - TOLERANCE else best

    def _cut_off(self) -> None:
        """Add the cuts that fractions of sets go over, round after round."""
        slow = 0
        for _ in range(MAX_CUT_ROUNDS):
            part = np.flatnonzero((self.taken > EPSILON) & (self.taken < 1 - EPSILON))
            members = self.columns.members([self.columns.picks[at] for at in part.tolist()])
            cuts = violated(members, self.taken[part], self.n, set(self.columns.cuts))
            if not cuts or slow == 2:
                return
            before = self.bound
            self.columns.add_cuts(cuts)
            self.price_out()
            slow = slow + 1 if self.bound - before < MIN_RISE * abs(self.bound) else 0

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
                found, complete = sets_priced(
                    self.columns, prices, at, -TOLERANCE, MAX_SETS_SEARCHED
                )
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
        lower = np.minimum(least, 0.0) - TOLERANCE
        bound = prices.bound + float(lower @ self.columns.wanted)
        if bound > self.bound:
            self.bound = bound
            self.prices = replace(prices, demand=prices.demand + lower, bound=bound)

    def _in_doubt(self, gap: float) -> list[Pick] | None:
        """Return all sets within the gap; None where they are too many."""
        doubt: list[Pick] = []
        if self.prices is None:
            return None
        limit = gap + 10 * TOLERANCE
        for at in range(len(self.demands)):
            found, complete = sets_priced(self.columns, self.prices, at, limit, MAX_COLUMNS)
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
