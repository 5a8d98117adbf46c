"""A first choice of sets, and exchanges of squares between them that lower the total."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Pick = tuple[int, tuple[int, ...]]
"""A request by its place, and the squares of one set, ascending."""

INFINITE_COST = 1e9
"""Stands for inf in sums."""
MAX_PASSES = 200
MIN_GAIN = 1e-9
SHORTAGE_COST = 1e5
"""Cost of a square that a request goes without: more than differences can add up to on the
squares that an exchange for it moves."""
OPEN_SHORTAGE_COST = 2e3
"""The same for a request that takes as many sets as there can be."""


@dataclass(frozen=True, eq=False)
class Demand:
    """One request, or several alike."""

    size: int
    """Squares in a set."""
    sets: int
    members: Bools
    """(n,) the squares that may serve it."""
    open_ended: bool = False
    """Takes as many as there can be; going short of ``sets`` is no shortage."""

    @property
    def short(self) -> float:
        """What one set fewer costs."""
        return self.size * (OPEN_SHORTAGE_COST if self.open_ended else SHORTAGE_COST)


@dataclass(frozen=True, eq=False)
class Rules:
    """What a set costs and whether it may be."""

    cost: Floats
    """(n, n) symmetric; inf where two must not be in one set and on the diagonal."""
    light: Floats
    """(n,) L*."""
    least_step: float
    """Least L* between a set's darkest and lightest."""
    costs: tuple[Floats, ...] = ()
    """``cost`` for each demand, where they are matched by different things."""

    def cost_for(self, demand: int) -> Floats:
        """Return what pairs cost in the sets of a demand, by its place."""
        return self.costs[demand] if self.costs else self.cost

    def step_fits(self, squares: Sequence[int]) -> bool:
        """Tell whether the set's values are far enough apart."""
        if len(squares) < 2 or self.least_step <= 0:
            return True
        light = self.light[list(squares)]
        return bool(light.max() - light.min() >= self.least_step)

    def allows(self, pick: Pick) -> bool:
        """Tell whether squares, each once, may be a set."""
        cost = self.cost_for(pick[0])
        fits = all(np.isfinite(cost[a, b]) for a, b in combinations(pick[1], 2))
        return fits and self.step_fits(pick[1])

    def set_cost(self, pick: Pick) -> float:
        """Return the sum over the set's pairs."""
        cost = self.cost_for(pick[0])
        return sum(float(cost[a, b]) for a, b in combinations(pick[1], 2))

    def widest(self, pick: Pick) -> float:
        """Return the dearest of the set's pairs."""
        cost = self.cost_for(pick[0])
        return max((float(cost[a, b]) for a, b in combinations(pick[1], 2)), default=0.0)


def greedy(rules: Rules, demands: Sequence[Demand], begun: Sequence[Pick] = ()) -> list[Pick]:
    """Go on making sets, one after the other, each from the nearest squares left.

    Requests with the fewest squares to spare choose first, those for single squares last.
    """
    order = sorted(
        range(len(demands)),
        key=lambda d: (
            demands[d].size == 1,
            int(demands[d].members.sum()) - demands[d].size * demands[d].sets,
            d,
        ),
    )
    free = np.ones(len(rules.cost), bool)
    picks = list(begun)
    for _, squares in begun:
        free[list(squares)] = False
    made = np.bincount([at for at, _ in begun], minlength=len(demands))
    for at in order:
        for _ in range(demands[at].sets - int(made[at])):
            nearest = _nearest_set(rules, at, free & demands[at].members, demands[at].size)
            if nearest is None:
                break
            free[list(nearest)] = False
            picks.append((at, nearest))
    return picks


def _nearest_set(rules: Rules, at: int, free: Bools, size: int) -> tuple[int, ...] | None:
    """Return a demand's closest free pair with the squares that lie closest to it."""
    where = np.nonzero(free)[0]
    if len(where) < size:
        return None
    if size == 1:
        return (int(where[0]),)
    cost = rules.cost_for(at)[np.ix_(where, where)]
    if size == 2 and rules.least_step > 0:
        light = rules.light[where]
        cost = np.where(np.abs(light[:, None] - light[None, :]) < rules.least_step, np.inf, cost)
    a, b = divmod(int(cost.argmin()), len(where))
    chosen = [a, b]
    if not np.isfinite(cost[a, b]):
        return None
    while len(chosen) < size:
        reach = cost[chosen].sum(axis=0)
        chosen.append(int(reach.argmin()))
        if not np.isfinite(reach[chosen[-1]]):
            return None
    squares = tuple(sorted(int(where[c]) for c in chosen))
    return squares if rules.step_fits(squares) else None


def exchange(rules: Rules, demands: Sequence[Demand], picks: list[Pick]) -> list[Pick]:
    """Swap squares of different sets, or with unused ones, while that lowers the total."""
    sets = [(at, list(squares)) for at, squares in picks]
    for _ in range(MAX_PASSES):
        if not _pass(rules, demands, sets):
            break
    return sorted((at, tuple(sorted(squares))) for at, squares in sets)


def _pass(rules: Rules, demands: Sequence[Demand], sets: list[tuple[int, list[int]]]) -> bool:
    """Make the swaps that gain most, each set and each unused square touched once.

    Tell whether there were any.
    """
    if not sets:
        return False
    gain, of = _gains(rules, demands, sets)
    touched: set[int] = set()
    one, two = np.nonzero(gain > MIN_GAIN)
    moved = False
    for at in np.argsort(-gain[one, two], kind="stable").tolist():
        u, v = int(one[at]), int(two[at])
        pair = {int(of[q]) if of[q] >= 0 else ~q for q in (u, v)}
        if pair & touched or not _swap(rules, sets, of, (u, v)):
            continue
        touched |= pair
        moved = True
    return moved


def _gains(
    rules: Rules, demands: Sequence[Demand], sets: list[tuple[int, list[int]]]
) -> tuple[Floats, NDArray[np.int64]]:
    """Return (n, n) what swapping two squares gains, u in a set, and the set of each square."""
    n = len(rules.cost)
    finite = [finite_costs(cost) for cost in (rules.costs or (rules.cost,))]
    safe = finite[0].copy()
    of = np.full(n, -1)
    reach = np.zeros((n, len(sets) + 1))
    serves = np.ones((n, len(sets) + 1), bool)
    for s, (at, squares) in enumerate(sets):
        own_cost = finite[at if rules.costs else 0][:, squares]
        of[squares] = s
        safe[:, squares] = own_cost
        reach[:, s] = own_cost.sum(axis=1)
        serves[:, s] = demands[at].members
    own = reach[np.arange(n), of]
    moved = reach[:, of]
    between = np.where(of[None, :] >= 0, moved - safe, 0.0)
    back = np.where(of[:, None] >= 0, moved.T - safe.T, 0.0)
    gain = own[:, None] + own[None, :] - between - back
    allowed = serves[:, of] & serves[:, of].T & (of[:, None] != of[None, :])
    gain[~allowed | (of[:, None] < 0)] = 0.0
    return gain, of


def finite_costs(cost: Floats) -> Floats:
    """Return costs with a great number for inf, and 0 on the diagonal."""
    safe = np.where(np.isfinite(cost), cost, INFINITE_COST)
    np.fill_diagonal(safe, 0.0)
    return safe


def _swap(
    rules: Rules, sets: list[tuple[int, list[int]]], of: NDArray[np.int64], pair: tuple[int, int]
) -> bool:
    """Swap two squares unless a set would break the rules."""
    u, v = pair
    fresh: dict[int, list[int]] = {}
    for gone, come in ((u, v), (v, u)):
        s = int(of[gone])
        if s >= 0:
            fresh[s] = [come if q == gone else q for q in sets[s][1]]
    for s, squares in fresh.items():
        if not rules.allows((sets[s][0], tuple(squares))):
            return False
    for s, squares in fresh.items():
        sets[s][1][:] = squares
    return True
