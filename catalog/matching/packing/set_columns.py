"""Whole sets as columns of a linear and an integer program."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from catalog.linear_programs import Floats
from catalog.matching.packing.exchange import Demand, Pick, Rules
from catalog.matching.packing.growing_programs import GrowingProgram
from catalog.matching.packing.set_cuts import Cut, CutPrices, counts

if TYPE_CHECKING:
    from scipy.sparse import csr_array

Ints = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Prices:
    """What squares (0 or less), sets of each demand and cuts are worth."""

    square: Floats
    demand: Floats
    cut: CutPrices
    taken: Floats
    """How much of each column the linear program takes."""
    bound: float
    """What all of them add up to, shortages counted in."""


class Columns:
    """Sets known so far: each square in one at most, each demand short of what is missing."""

    def __init__(self, rules: Rules, demands: Sequence[Demand]) -> None:
        self.rules, self.demands, self.n = rules, demands, len(rules.cost)
        self.picks: list[Pick] = []
        self.place: dict[Pick, int] = {}
        self.cuts: list[Cut] = []
        self.short = np.array([demand.short for demand in demands])
        self.wanted = np.array([float(demand.sets) for demand in demands])
        self._size = max((demand.size for demand in demands), default=1)
        self._linear = self._program([], self.wanted, ())

    def add(self, picks: Iterable[Pick]) -> bool:
        """Add the sets that are new; tell whether there were any."""
        fresh = [pick for pick in dict.fromkeys(picks) if pick not in self.place]
        for pick in fresh:
            self.place[pick] = len(self.picks)
            self.picks.append(pick)
        if fresh:
            free = np.full(len(fresh), np.inf)
            self._linear.add_columns(self.costs(fresh), free, self._entries(fresh, self.cuts))
        return bool(fresh)

    def add_cuts(self, cuts: Sequence[Cut]) -> None:
        """Hold the linear program under cuts."""
        from scipy.sparse import csr_array

        found = counts(cuts, self.members(self.picks), self.n).T
        shortages = np.zeros((len(cuts), len(self.demands)))
        entries = csr_array(np.concatenate([shortages, found], axis=1))
        self._linear.add_rows(np.array([float(cut.most) for cut in cuts]), entries)
        self.cuts += cuts

    def members(self, picks: Sequence[Pick]) -> Ints:
        """Return the squares of sets, one in each row; n stands for none."""
        found = np.full((len(picks), self._size), self.n)
        for row, (_, squares) in enumerate(picks):
            found[row, : len(squares)] = squares
        return found

    def costs(self, picks: Sequence[Pick]) -> Floats:
        """Return what each set costs."""
        return np.array([self.rules.set_cost(pick) for pick in picks], float)

    def prices(self) -> Prices | None:
        """Solve the linear program over all columns; None where HiGHS can't."""
        answer = self._linear.solve()
        if answer is None:
            return None
        square = np.minimum(answer.prices[: self.n], 0.0)
        rest = answer.prices[self.n :]
        demand = np.minimum(rest[: len(self.demands)], self.short)
        cut = np.minimum(rest[len(self.demands) :], 0.0)
        most = np.array([float(one.most) for one in self.cuts])
        bound = float(square.sum() + demand @ self.wanted + cut @ most)
        charged = CutPrices.of(self.cuts, -cut, self.n)
        return Prices(square, demand, charged, answer.values[len(self.demands) :], bound)

    def excess(self, picks: Sequence[Pick], prices: Prices) -> Floats:
        """Return what sets cost more than their prices."""
        members = self.members(picks)
        worth = np.append(prices.square, 0.0)[members].sum(axis=1)
        worth += prices.demand[[at for at, _ in picks]]
        excess: Floats = self.costs(picks) - worth + prices.cut.paid_by(members)
        return excess

    def hold(self, places: Sequence[int], *, taken: bool) -> None:
        """Let the linear program take columns whole, or again as it likes."""
        columns = np.array(places, np.int64) + len(self.demands)
        if len(columns):
            self._linear.limit(columns, 1.0 if taken else 0.0, 1.0 if taken else np.inf)

    def least(self, picks: Sequence[Pick]) -> float:
        """Return what no choice among some sets goes under, by the linear program."""
        answer = self._program(picks, self.wanted, self.cuts).solve()
        if answer is None:
            return -np.inf
        return float(answer.values @ np.concatenate([self.short, self.costs(picks)]))

    def whole(
        self,
        picks: Sequence[Pick],
        nodes: int,
        *,
        start: Sequence[Pick] = (),
        wanted: Floats | None = None,
        cuts: Sequence[Cut] = (),
        beside: Sequence[Pick] = (),
        enough: float | None = None,
    ) -> tuple[list[Pick], float] | None:
        """Return the best choice among some sets, and what none of them can go under.

        ``start`` is a choice to begin with, ``wanted`` how many sets each demand is to have, if
        not all; ``cuts`` help to prove the answer; sets ``beside`` stay as they are. A choice that
        costs no more than ``enough`` will do.
        """
        wanted = self.wanted if wanted is None else wanted
        begun = set(start)
        made = np.bincount([at for at, _ in start], minlength=len(wanted))
        values = np.concatenate([wanted - made, [float(pick in begun) for pick in picks]])
        program = self._program(picks, wanted, cuts, beside)
        answer = program.solve_whole(nodes, values if begun else None, enough)
        if answer is None:
            return None
        taken = answer.values[len(wanted) :]
        chosen = [pick for pick, value in zip(picks, taken, strict=True) if value > 0.5]
        return chosen, self.value(chosen, wanted) if answer.proven else answer.least

    def value(self, picks: Sequence[Pick], wanted: Floats | None = None) -> float:
        """Return costs of the sets and of shortages."""
        made = np.bincount([at for at, _ in picks], minlength=len(self.demands))
        missing = (self.wanted if wanted is None else wanted) - made
        return float(missing @ self.short) + sum(map(self.rules.set_cost, picks))

    def _program(
        self,
        picks: Sequence[Pick],
        wanted: Floats,
        cuts: Sequence[Cut],
        beside: Sequence[Pick] = (),
    ) -> GrowingProgram:
        """Return a program of rows (squares, demands, cuts) and columns (shortages, sets)."""
        from scipy.sparse import csr_array

        most = np.array([cut.most for cut in cuts], float)
        most -= counts(cuts, self.members(beside), self.n).sum(axis=0)
        lower = np.concatenate([np.full(self.n, -np.inf), wanted, np.full(len(cuts), -np.inf)])
        program = GrowingProgram(lower, np.concatenate([np.ones(self.n), wanted, most]))
        shortages = np.eye(len(wanted), len(lower), self.n)
        program.add_columns(self.short, wanted, csr_array(shortages))
        if picks:
            entries = self._entries(picks, cuts)
            program.add_columns(self.costs(picks), np.ones(len(picks)), entries)
        return program

    def _entries(self, picks: Sequence[Pick], cuts: Sequence[Cut]) -> csr_array:
        """Return the entries of sets, (sets, rows)."""
        from scipy.sparse import csr_array, hstack

        sizes = [len(squares) for _, squares in picks]
        starts = np.concatenate([[0], np.cumsum([size + 1 for size in sizes])])
        at = [row for d, squares in picks for row in (*squares, self.n + d)]
        shape = len(picks), self.n + len(self.demands)
        own = csr_array((np.ones(len(at)), at, starts), shape=shape)
        if not cuts:
            return own
        found = csr_array(counts(cuts, self.members(picks), self.n).astype(float))
        return csr_array(hstack([own, found], format="csr"))
