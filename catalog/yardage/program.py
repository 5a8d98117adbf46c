"""The linear and whole-number programs that choose strips.

Branch and bound over linear programs (HiGHS, by way of scipy), depth first, each rounded to a whole
plan on the way. HiGHS's own whole-number solver is not used: now and then it writes a line to
standard output, which belongs to the user's data.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from catalog.yardage.knapsack import Pattern

Floats = NDArray[np.float64]
Counts = NDArray[np.int64]

MOST_NODES: Final = 60
"""Linear programs that a choice may solve: a count and no time, so that the plan is the same on any
machine."""
NODES_FOR_EASE: Final = 20
"""Linear programs spent on an easier plan of the same height."""
WHOLE: Final = 1e-6
"""How near to a whole number a linear program's answer is taken for it."""


@dataclass(frozen=True)
class Packing:
    """A choice of patterns."""

    patterns: tuple[tuple[Pattern, int], ...]
    """Each with the strips cut by it; together they hold every piece, or more."""
    height: int
    """Sum of the strips' heights, units."""
    bound: int
    """No plan has a smaller sum."""


@dataclass(frozen=True, eq=False)
class _Task:
    """Patterns to choose from: yields (kinds, patterns), wanted (kinds,), heights and costs."""

    yields: Floats
    wanted: Floats
    heights: Floats
    costs: Floats
    most_height: float
    """Sum of heights that a plan may have."""


def prices_of(made: Sequence[Pattern], wanted: Counts) -> Floats:
    """Return what a piece of each kind may cost at most if no strip is worth over its height.

    They are the dual of the program that covers all pieces with parts of strips.
    """
    from scipy.optimize import linprog

    solve: Any = linprog
    table = np.array([pattern.yields(len(wanted)) for pattern in made])
    heights = np.array([pattern.height for pattern in made], float)
    answer = solve(-wanted.astype(float), A_ub=table, b_ub=heights, method="highs-ds")
    prices: Floats = np.maximum(answer.x, 0.0)
    return prices


def choose(made: Sequence[Pattern], wanted: Counts, bound: int) -> Packing:
    """Return the best plan from these patterns; its bound holds for these alone.

    No plan is below `bound`: the search stops at the first that is there.
    """
    heights = np.array([pattern.height for pattern in made], float)
    task = _task(made, wanted, heights, np.inf)
    numbers, least = _search(task, _round(task, np.zeros(len(made))), bound, MOST_NODES)
    height = int(heights @ numbers)
    return Packing(_numbered(made, numbers), height, min(least, height))


def easiest(made: Sequence[Pattern], wanted: Counts, plan: Packing) -> Packing:
    """Return a plan of the same height with fewer strips and cuts to think about, if one is found."""
    effort = np.array([1 + sum(1 + (c.stacked > 1) for c, _ in p.columns) for p in made], float)
    start = dict(plan.patterns)
    numbers = np.array([start.get(pattern, 0) for pattern in made], float)
    task = _task(made, wanted, effort, float(plan.height))
    numbers, _ = _search(task, numbers, 0, NODES_FOR_EASE)
    return Packing(_numbered(made, numbers), int(task.heights @ numbers), plan.bound)


def _task(made: Sequence[Pattern], wanted: Counts, costs: Floats, most: float) -> _Task:
    yields = np.array([pattern.yields(len(wanted)) for pattern in made], float).T
    heights = np.array([pattern.height for pattern in made], float)
    return _Task(yields, wanted.astype(float), heights, costs, most)


def _search(task: _Task, best: Floats, bound: int, nodes: int) -> tuple[Floats, int]:
    """Improve a whole plan; return the best one and the cost that no plan goes below."""
    limits = np.stack([np.zeros(len(best)), np.full(len(best), task.wanted.max())], axis=1)
    open_nodes: list[tuple[float, Floats]] = [(float(bound), limits)]
    while open_nodes and nodes and task.costs @ best > bound + 0.5:
        known, limits = open_nodes.pop()
        if known > task.costs @ best - 1 + WHOLE:
            continue
        nodes -= 1
        found = _linear(task, limits)
        if found is None:
            continue
        cost, numbers = found
        for whole in (np.rint(numbers), _round(task, np.floor(numbers + WHOLE))):
            if _holds(task, whole) and task.costs @ whole < task.costs @ best:
                best = whole
        part = np.abs(numbers - np.rint(numbers))
        if part.max() > WHOLE and cost <= task.costs @ best - 1 + WHOLE:
            branch = int(np.argmax(np.where(part > WHOLE, numbers % 1, -1)))
            for side, limit in ((1, np.floor(numbers[branch])), (0, np.ceil(numbers[branch]))):
                narrowed = limits.copy()
                narrowed[branch, side] = limit
                open_nodes.append((cost, narrowed))
    least = min((known for known, _ in open_nodes), default=float(task.costs @ best))
    return best, int(np.ceil(min(least, float(task.costs @ best)) - WHOLE))


def _linear(task: _Task, limits: Floats) -> tuple[float, Floats] | None:
    from scipy.optimize import linprog

    solve: Any = linprog
    rows, right = -task.yields, -task.wanted
    if np.isfinite(task.most_height):
        rows, right = np.vstack([rows, task.heights]), np.append(right, task.most_height)
    answer = solve(task.costs, A_ub=rows, b_ub=right, bounds=limits, method="highs-ds")
    return None if answer.status else (float(answer.fun), answer.x)


def _round(task: _Task, numbers: Floats) -> Floats:
    """Add the patterns that are worth most for what is still wanting, then drop needless ones."""
    whole = numbers.copy()
    wanting = np.maximum(task.wanted - task.yields @ whole, 0)
    # A piece is worth the least height that it takes in any pattern.
    worth = 1 / (task.yields / task.heights).max(axis=1)
    while wanting.any():
        use = worth @ np.minimum(task.yields, wanting[:, None]) / task.heights
        whole[int(np.argmax(use))] += 1
        wanting = np.maximum(task.wanted - task.yields @ whole, 0)
    for number in np.argsort(-task.heights, kind="stable"):
        spare = task.yields @ whole - task.wanted
        used = task.yields[:, number] > 0
        drop = np.min(spare[used] // task.yields[used, number])
        whole[number] -= min(drop, whole[number])
    return whole


def _holds(task: _Task, whole: Floats) -> bool:
    covered = bool((task.yields @ whole >= task.wanted).all())
    return covered and float(task.heights @ whole) <= task.most_height


def _numbered(made: Sequence[Pattern], numbers: Floats) -> tuple[tuple[Pattern, int], ...]:
    return tuple((p, int(n)) for p, n in zip(made, numbers, strict=True) if n)
