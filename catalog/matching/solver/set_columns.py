"""Whole sets as columns of a linear and an integer program."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from catalog.linear_programs import Linear, integer_program, linear_program
from catalog.matching.solver.exchange import Demand, Pick, Rules

if TYPE_CHECKING:
    from scipy.sparse import csr_array

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Prices:
    """What squares (0 or less) and sets of each demand are worth."""

    square: Floats
    demand: Floats
    taken: Floats
    """How much of each column the linear program takes."""


class Columns:
    """Sets known so far: each square in one at most, each demand short of what is missing."""

    def __init__(self, rules: Rules, demands: Sequence[Demand]) -> None:
        self.rules, self.demands, self.n = rules, demands, len(rules.cost)
        self.picks: list[Pick] = []
        self.place: dict[Pick, int] = {}
        self.short = [demand.short for demand in demands]
        self.wanted = np.array([float(demand.sets) for demand in demands])

    def add(self, picks: Iterable[Pick]) -> bool:
        """Add the sets that are new; tell whether there were any."""
        before = len(self.picks)
        for pick in picks:
            if pick not in self.place:
                self.place[pick] = len(self.picks)
                self.picks.append(pick)
        return len(self.picks) > before

    def prices(self) -> Prices | None:
        """Solve the linear program over all columns; None where HiGHS can't."""
        _, answer = self._relaxed(self.picks)
        if answer is None:
            return None
        square = np.minimum(answer.prices[: self.n], 0.0)
        demand = np.minimum(answer.prices[self.n :], self.short)
        return Prices(square, demand, answer.values[: len(self.picks)])

    def rounded(self, taken: Floats) -> list[Pick]:
        """Return the columns taken most that leave each other room, and no demand over."""
        room = self.wanted.copy()
        free = np.ones(self.n, bool)
        chosen: list[Pick] = []
        for at in np.argsort(-taken, kind="stable").tolist():
            d, squares = self.picks[at]
            if taken[at] > 0.0 and room[d] and free[list(squares)].all():
                free[list(squares)] = False
                room[d] -= 1
                chosen.append((d, squares))
        return chosen

    def least(self, picks: Sequence[Pick]) -> float:
        """Return what no choice among some sets goes under, by the linear program."""
        cost, answer = self._relaxed(picks)
        return -np.inf if answer is None else float(answer.values @ cost)

    def _relaxed(self, picks: Sequence[Pick]) -> tuple[Floats, Linear | None]:
        """Return the costs and the answer of the linear program over some sets."""
        cost, rows, right = self._program(picks)
        bounds = np.zeros(len(cost)), np.full(len(cost), np.inf)
        return cost, linear_program(cost, rows, right, bounds, presolve=True)

    def whole(self, picks: Sequence[Pick], nodes: int) -> tuple[list[Pick], float] | None:
        """Return the best choice among some sets, and what none of them can go under."""
        cost, rows, right = self._program(picks)
        upper = np.concatenate([np.ones(len(picks) + self.n), self.wanted])
        answer = integer_program(cost, rows, (right, right), upper, nodes)
        if answer is None:
            return None
        chosen = [pick for pick, value in zip(picks, answer.values, strict=False) if value > 0.5]
        return chosen, self.value(chosen) if answer.proven else answer.least

    def value(self, picks: Sequence[Pick]) -> float:
        """Return costs of the sets and of shortages."""
        made = np.bincount([d for d, _ in picks], minlength=len(self.demands))
        missing = float((self.wanted - made) @ np.array(self.short))
        return missing + sum(map(self.rules.set_cost, picks))

    def _program(self, picks: Sequence[Pick]) -> tuple[Floats, csr_array, Floats]:
        """Return costs, rows (squares, demands) and right sides over sets, spares, shortages."""
        from scipy.sparse import csr_array

        many = len(self.demands)
        slack = np.arange(self.n + many)
        entries = [(v, c) for c, (_, squares) in enumerate(picks) for v in squares]
        entries += [(self.n + d, c) for c, (d, _) in enumerate(picks)]
        at = np.array(entries, np.int64).reshape(-1, 2)
        rows = np.concatenate([at[:, 0], slack])
        columns = np.concatenate([at[:, 1], len(picks) + slack])
        shape = (self.n + many, len(picks) + self.n + many)
        matrix = csr_array((np.ones(len(rows)), (rows, columns)), shape=shape)
        costs = [self.rules.set_cost(pick) for pick in picks]
        cost = np.concatenate([costs, np.zeros(self.n), self.short])
        return cost, matrix, np.concatenate([np.ones(self.n), self.wanted])
