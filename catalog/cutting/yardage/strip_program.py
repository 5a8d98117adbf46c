"""The linear and whole-number programs (HiGHS, by way of scipy) that choose strips."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from catalog.cutting.yardage.knapsack import StripPattern
from catalog.linear_programs import Whole, integer_program

Floats = NDArray[np.float64]
Counts = NDArray[np.int64]

MAX_BRANCHES: Final = 100
"""Branches that a program may open: a count and no time, so that the plan is the same on any
machine."""


@dataclass(frozen=True)
class PatternChoice:
    """A choice of patterns."""

    patterns: tuple[tuple[StripPattern, int], ...]
    """Each with the strips cut by it; together they hold every piece, or more."""
    height: int
    """Sum of the strips' heights, units."""
    bound: int
    """No plan has a smaller sum."""


def prices_of(made: Sequence[StripPattern], wanted: Counts) -> Floats:
    """Return what a piece of each kind may cost at most if no strip is worth over its height.

    They are the dual of the program that covers all pieces with parts of strips.
    """
    from scipy.optimize import linprog

    solve: Any = linprog
    heights = _heights(made)
    answer = solve(-wanted.astype(float), A_ub=_table(made, wanted).T, b_ub=heights, method="highs")
    prices: Floats = np.maximum(answer.x, 0.0)
    return prices


def choose(made: Sequence[StripPattern], wanted: Counts, bound: int) -> PatternChoice | None:
    """Return the best plan from these patterns; its bound holds for these alone.

    That no plan is below `bound` is told to the solver, so that it stops at the first that is
    there. None where it finds none within its branches.
    """
    answer = _solve(made, wanted, _heights(made), (bound, np.inf))
    chosen = _numbered(made, wanted, answer)
    if answer is None or chosen is None:
        return None
    height = sum(p.height * n for p, n in chosen)
    least = height if answer.proven else int(np.ceil(answer.least - 1e-6))
    return PatternChoice(chosen, height, least)


def easiest(made: Sequence[StripPattern], wanted: Counts, plan: PatternChoice) -> PatternChoice:
    """Return a plan no longer than this with few cuts to think about, if one is found."""
    effort = np.array([1 + sum(3 * c.stacked - 2 for c, _ in p.columns) for p in made], float)
    chosen = _numbered(made, wanted, _solve(made, wanted, effort, (0, plan.height)))
    return PatternChoice(chosen, plan.height, plan.bound) if chosen else plan


def _heights(made: Sequence[StripPattern]) -> Floats:
    return np.array([pattern.height for pattern in made], float)


def _table(made: Sequence[StripPattern], wanted: Counts) -> Floats:
    return np.array([pattern.yields(len(wanted)) for pattern in made], float).T


def _solve(
    made: Sequence[StripPattern], wanted: Counts, cost: Floats, heights: tuple[float, float]
) -> Whole | None:
    rows = np.vstack([_table(made, wanted), _heights(made)])
    right = np.append(wanted, heights[0]), np.append(np.full(len(wanted), np.inf), heights[1])
    return integer_program(cost, rows, right, float(wanted.max()), MAX_BRANCHES)


def _numbered(
    made: Sequence[StripPattern], wanted: Counts, answer: Whole | None
) -> tuple[tuple[StripPattern, int], ...] | None:
    """Return each pattern's number of strips; None where they don't hold every piece."""
    if answer is None:
        return None
    numbers = np.rint(answer.values).astype(int)
    if (_table(made, wanted) @ numbers < wanted).any():
        return None
    return tuple((p, int(n)) for p, n in zip(made, numbers, strict=True) if n)
