"""Sets of 3 or 4, and requests that want the same squares: near the best, with a bound.

Columns are whole sets. A linear program over a growing list of them gives prices of squares
and requests; `sets_under` finds every set that the prices exceed, so the bound holds for all
sets there are. An integer program over the columns, and exchanges of squares, give the answer;
where all sets within the gap can be listed, the integer program over them proves it best.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from catalog.matching.exchange import Rules, exchange, greedy
from catalog.matching.sets import sets_under

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]
Pick = tuple[int, tuple[int, ...]]
"""A request by its place, and the squares of one set."""

SHORT = 1e5
"""Cost of a square that a request goes without: more than differences can add up to on the
squares that an exchange for it moves."""
OPEN_SHORT = 2e3
"""The same for a request that takes as many sets as there can be."""
AGAINST_WISH = 300.0
"""Cost of a pair that goes against what is wished of fabrics (CIEDE2000 stays under 130)."""
ROUNDS = 60
KEPT = 60_000
"""Sets that one search keeps."""
NEW_PER_SQUARE = 4
"""New columns in a round, for each square."""
MOST_COLUMNS = 20_000
"""For the integer program; measured on 100 squares in threes: 500 to 5,000."""
NODES = 300
"""Of the integer program's search: a count, so that the answer is the same on any machine."""
TOLERANCE = 1e-7


@dataclass(frozen=True, eq=False)
class Demand:
    """One request, or several alike."""

    size: int
    sets: int
    members: Bools
    """(n,) the squares that may serve it."""
    open_ended: bool = False
    """Takes as many as there can be; going short of ``sets`` is no shortage."""

    @property
    def short(self) -> float:
        """What one set fewer costs."""
        return self.size * (OPEN_SHORT if self.open_ended else SHORT)


@dataclass(frozen=True, eq=False)
class Packing:
    """Sets chosen and a bound on their total difference."""

    picks: list[Pick]
    bound: float


@dataclass(eq=False)
class _Columns:
    """Sets known so far, each with its request."""

    picks: list[Pick] = field(default_factory=list)
    costs: list[float] = field(default_factory=list)
    known: set[Pick] = field(default_factory=set)

    def add(self, pick: Pick, cost: float) -> bool:
        if pick in self.known:
            return False
        self.known.add(pick)
        self.picks.append(pick)
        self.costs.append(cost)
        return True


def pack(rules: Rules, worse: Bools | None, demands: Sequence[Demand]) -> Packing:
    """Choose sets for all demands: least shortage, then by wish, then least total.

    Parameters
    ----------
    rules : Rules
    worse : array of bool, shape (n, n), or None
        Pairs that go against what is wished of fabrics.
    demands : sequence of Demand

    Returns
    -------
    Packing
        ``bound`` is for choices that are as little short and as much by wish as this one.
    """
    plain = rules.cost
    if worse is not None:
        rules = Rules(plain + AGAINST_WISH * worse, rules.light, rules.least_step)
    packer = _Packer(rules, demands)
    picks, bound = packer.run()
    total = sum(_cost(plain, squares) for _, squares in picks)
    extra = packer.value(picks) - total
    return Packing(picks, min(max(bound - extra, 0.0), total))


def _cost(cost: Floats, squares: tuple[int, ...]) -> float:
    return float(sum(cost[a, b] for at, a in enumerate(squares) for b in squares[at + 1 :]))


class _Packer:
    """One run of `pack`."""

    def __init__(self, rules: Rules, demands: Sequence[Demand]) -> None:
        self.rules, self.demands, self.n = rules, demands, len(rules.cost)
        self.columns = _Columns()
        self.bound = 0.0
        self.square = np.zeros(self.n)
        self.demand = np.zeros(len(demands))

    def value(self, picks: list[Pick]) -> float:
        """Return costs of the sets and of shortages."""
        made = np.bincount([d for d, _ in picks], minlength=len(self.demands))
        short = sum((d.sets - int(m)) * d.short for d, m in zip(self.demands, made, strict=True))
        return short + sum(_cost(self.rules.cost, squares) for _, squares in picks)

    def run(self) -> tuple[list[Pick], float]:
        """Return the sets and the bound, shortages and wishes counted in."""
        best = self._improved(greedy(self.rules, self.demands))
        self._add(best)
        self._add([(d, (v,)) for d, v in self._singles()])
        self._price_out()
        if len(self.columns.picks) <= MOST_COLUMNS:
            best = self._better(best, self._integer(range(len(self.columns.picks)))[0])
        value = self.value(best)
        doubt = self._in_doubt(value - self.bound)
        if doubt is None:
            return best, min(self.bound, value)
        picks, under = self._integer(doubt)
        best = self._better(best, picks)
        return self._least_worst(best, doubt), min(max(self.bound, under), self.value(best))

    def _better(self, best: list[Pick], other: list[Pick] | None) -> list[Pick]:
        if other is None:
            return best
        other = self._improved(other)
        return other if self.value(other) < self.value(best) - TOLERANCE else best

    def _improved(self, picks: list[Pick]) -> list[Pick]:
        return exchange(self.rules, self.demands, picks)

    def _singles(self) -> list[tuple[int, int]]:
        return [
            (at, int(v))
            for at, d in enumerate(self.demands)
            if d.size == 1
            for v in np.nonzero(d.members)[0]
        ]

    def _add(self, picks: Sequence[Pick]) -> bool:
        fresh = [self.columns.add(p, _cost(self.rules.cost, p[1])) for p in picks]
        return any(fresh)

    def _price_out(self) -> None:
        """Let columns and prices grow together until no set is under its prices."""
        for _ in range(ROUNDS):
            if not self._prices():
                return
            fresh = False
            least = np.zeros(len(self.demands))
            proven = True
            for at, demand in enumerate(self.demands):
                if demand.size == 1:
                    continue
                found, complete = self._search(at, -TOLERANCE)
                proven = proven and complete
                least[at] = min((excess for _, excess in found), default=0.0)
                found.sort(key=lambda item: item[1])
                most = NEW_PER_SQUARE * self.n
                fresh |= self._add([pick for pick, _ in found[:most]])
            if proven:
                self._raise_bound(least)
            if not fresh:
                return

    def _raise_bound(self, least: Floats) -> None:
        sets = np.array([d.sets for d in self.demands])
        bound = self.square.sum() + (self.demand + np.minimum(least, 0.0) - TOLERANCE) @ sets
        self.bound = max(self.bound, float(bound))

    def _search(self, at: int, limit: float) -> tuple[list[tuple[Pick, float]], bool]:
        """Return the sets of a demand under a limit with their excess; whether all of them."""
        demand = self.demands[at]
        where = np.nonzero(demand.members)[0]
        price = self.square[where] + self.demand[at] / demand.size
        if demand.size == 1:
            return [
                ((at, (int(v),)), -float(p))
                for v, p in zip(where, price, strict=True)
                if -p < limit
            ], True
        cost = self.rules.cost[np.ix_(where, where)]
        found = sets_under(cost, price, demand.size, limit, KEPT)
        picks = [
            ((at, tuple(where[row].tolist())), float(excess))
            for row, excess in zip(found.members, found.excess, strict=True)
        ]
        return [item for item in picks if self.rules.step_fits(item[0][1])], found.complete

    def _in_doubt(self, gap: float) -> list[int] | None:
        """Return the columns within the gap, all there are; None where they are too many."""
        doubt: list[int] = []
        for at in range(len(self.demands)):
            found, complete = self._search(at, gap + 10 * TOLERANCE)
            if not complete or len(doubt) + len(found) > MOST_COLUMNS:
                return None
            self._add([pick for pick, _ in found])
            under = {pick for pick, _ in found}
            doubt += [c for c, pick in enumerate(self.columns.picks) if pick in under]
        return sorted(doubt, key=lambda c: self.columns.picks[c])

    def _matrix(self, columns: Sequence[int]):
        """Return the rows of squares and of requests over columns and shortages."""
        from scipy.sparse import csr_array

        picks = [self.columns.picks[c] for c in columns]
        entries = [(v, c) for c, (_, squares) in enumerate(picks) for v in squares]
        entries += [(self.n + d, c) for c, (d, _) in enumerate(picks)]
        entries += [(self.n + d, len(picks) + d) for d in range(len(self.demands))]
        rows, at = np.array(entries).T
        shape = (self.n + len(self.demands), len(picks) + len(self.demands))
        return csr_array((np.ones(len(rows)), (rows, at)), shape=shape)

    def _costs(self, columns: Sequence[int]) -> Floats:
        return np.array([self.columns.costs[c] for c in columns] + [d.short for d in self.demands])

    def _sets(self) -> Floats:
        return np.array([float(d.sets) for d in self.demands])

    def _prices(self) -> bool:
        """Solve the linear program; False where HiGHS can't."""
        from scipy.optimize import linprog

        columns = range(len(self.columns.picks))
        matrix = self._matrix(columns)
        answer = linprog(
            self._costs(columns),
            A_ub=matrix[: self.n],
            b_ub=np.ones(self.n),
            A_eq=matrix[self.n :],
            b_eq=self._sets(),
            method="highs-ds",
        )
        if answer.status != 0:
            return False
        self.square = np.minimum(answer.ineqlin.marginals, 0.0)
        self.demand = np.minimum(answer.eqlin.marginals, [d.short for d in self.demands])
        return True

    def _integer(self, columns: Sequence[int]) -> tuple[list[Pick] | None, float]:
        """Return the best whole choice among columns, and what none of them can go under."""
        from scipy.optimize import Bounds, LinearConstraint, milp

        columns = list(columns)
        costs = self._costs(columns)
        upper = np.concatenate([np.ones(len(columns)), self._sets()])
        low = np.concatenate([np.full(self.n, -np.inf), self._sets()])
        high = np.concatenate([np.ones(self.n), self._sets()])
        answer = milp(
            costs,
            integrality=np.ones(len(costs)),
            bounds=Bounds(np.zeros(len(costs)), upper),
            constraints=LinearConstraint(self._matrix(columns), low, high),
            options={"node_limit": NODES, "mip_rel_gap": 0.0},
        )
        if answer.x is None:
            return None, -np.inf
        picks = [self.columns.picks[c] for at, c in enumerate(columns) if answer.x[at] > 0.5]
        under = self.value(picks) if answer.status == 0 else float(answer.mip_dual_bound)
        return picks, under

    def _least_worst(self, best: list[Pick], doubt: list[int]) -> list[Pick]:
        """Return the choice of the same value whose worst set is least, as far as found."""
        value = self.value(best)
        while True:
            worst = max((_widest(self.rules.cost, squares) for _, squares in best), default=0.0)
            doubt = [
                c
                for c in doubt
                if _widest(self.rules.cost, self.columns.picks[c][1]) < worst - TOLERANCE
            ]
            picks, _ = self._integer(doubt) if doubt else (None, 0.0)
            if picks is None or self.value(picks) > value + TOLERANCE:
                return best
            best = picks


def _widest(cost: Floats, squares: tuple[int, ...]) -> float:
    return max((float(cost[a, b]) for a in squares for b in squares if a < b), default=0.0)
