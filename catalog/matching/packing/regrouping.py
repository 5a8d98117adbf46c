"""Two or three near sets at a time taken apart and put together anew."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from itertools import combinations
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.linear_programs import Floats
from catalog.matching.packing.exchange import MIN_GAIN, Demand, Pick, Rules, finite_costs

Ints = NDArray[np.int64]

TOGETHER: Final = (2, 3)
"""Sets taken apart at once (12 squares go into fours in 5,775 ways, 16 in 2,627,625)."""
NEAREST: Final = (0, 0, 8, 8, 6)
"""Sets that each is tried with, by the size of the sets."""
MAX_PASSES: Final = 60
CHUNK: Final = 4_000_000
"""Ways looked at in one go."""


def regroup(rules: Rules, demands: Sequence[Demand], picks: Sequence[Pick]) -> list[Pick]:
    """Put sets of the same demand together anew while that lowers the total."""
    found: list[Pick] = []
    for at, demand in enumerate(demands):
        sets = np.array([squares for d, squares in picks if d == at], np.int64)
        if demand.size > 1 and len(sets) > 1:
            sets = _regrouped(rules, at, sets)
        found += [(at, tuple(sorted(squares))) for squares in sets.tolist()]
    return sorted(found)


def _regrouped(rules: Rules, at: int, sets: Ints) -> Ints:
    cost = finite_costs(rules.cost_for(at))
    for together in TOGETHER:
        changed = np.ones(len(sets), bool)
        for _ in range(MAX_PASSES):
            if not changed.any():
                break
            groups = _groups(cost, sets, together)
            groups = groups[changed[groups].any(axis=1)]
            changed = _pass(rules, at, cost, sets, groups)
    return sets


def _groups(cost: Floats, sets: Ints, together: int) -> Ints:
    """Return so many sets near each other, (groups, together)."""
    holds = np.zeros((len(sets), len(cost)))
    holds[np.arange(len(sets))[:, None], sets] = 1.0
    far = holds @ cost @ holds.T
    np.fill_diagonal(far, np.inf)
    near = np.argsort(far, axis=1, kind="stable")[:, : min(NEAREST[sets.shape[1]], len(sets) - 1)]
    own = np.arange(len(sets))
    some = [
        np.column_stack([own, *(near[:, one] for one in others)])
        for others in combinations(range(near.shape[1]), together - 1)
    ]
    if not some:
        return np.zeros((0, together), np.int64)
    return np.unique(np.sort(np.concatenate(some), axis=1), axis=0)


def _pass(rules: Rules, at: int, cost: Floats, sets: Ints, groups: Ints) -> NDArray[np.bool_]:
    """Make the changes that gain most, each set touched once; tell which sets were."""
    size, together = sets.shape[1], groups.shape[1]
    choices, ways = _ways(together, size)
    gain, best = np.zeros(len(groups)), np.zeros(len(groups), np.int64)
    step = max(1, CHUNK // len(ways))
    for begin in range(0, len(groups), step):
        some = slice(begin, begin + step)
        squares = sets[groups[some]].reshape(-1, size * together)
        each = np.zeros((len(squares), len(choices)))
        for a, b in combinations(range(size), 2):
            each += cost[squares[:, choices[:, a]], squares[:, choices[:, b]]]
        total = np.zeros((len(squares), len(ways)))
        for column in ways.T:
            total += each[:, column]
        best[some] = total.argmin(axis=1)
        gain[some] = total[:, 0] - total.min(axis=1)  # the first way is the sets as they are
    touched = np.zeros(len(sets), bool)
    for row in np.argsort(-gain, kind="stable").tolist():
        if gain[row] < MIN_GAIN:
            break
        group = groups[row]
        fresh = sets[group].ravel()[choices[ways[best[row]]]]
        if not touched[group].any() and all(rules.allows((at, tuple(one))) for one in fresh):
            sets[group] = fresh
            touched[group] = True
    return touched


@cache
def _ways(together: int, size: int) -> tuple[Ints, Ints]:
    """Return the choices of places for one set, and the ways to share out all by choices."""
    choices = list(combinations(range(together * size), size))
    number = {choice: at for at, choice in enumerate(choices)}

    def shared(left: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
        if not left:
            yield ()
        for rest in combinations(left[1:], size - 1) if left else ():
            first = (left[0], *rest)
            for others in shared(tuple(one for one in left if one not in first)):
                yield number[first], *others

    return np.array(choices), np.array(list(shared(tuple(range(together * size)))))
