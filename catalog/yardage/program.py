"""The linear and whole-number programs (HiGHS, by way of scipy) that choose strips."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from catalog.yardage.knapsack import Pattern

Floats = NDArray[np.float64]
Counts = NDArray[np.int64]

MOST_NODES: Final = 100
"""Branches that a program may open: a count and no time, so that the plan is the same on any
machine."""
SHRINK: Final = 50.0
"""By how much the largest number of a row is shrunk below 1."""


@dataclass(frozen=True)
class Packing:
    """A choice of patterns."""

    patterns: tuple[tuple[Pattern, int], ...]
    """Each with the strips cut by it; together they hold every piece, or more."""
    height: int
    """Sum of the strips' heights, units."""
    bound: int
    """No plan has a smaller sum."""


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

    That no plan is below `bound` is told to the solver, so that it stops at the first that is
    there.
    """
    heights = np.array([pattern.height for pattern in made], float)
    answer = _whole(made, wanted, heights, (bound, np.inf))
    if answer.x is None:
        return Packing((), int(heights.sum() * wanted.sum()), 0)
    chosen = _numbered(made, answer.x)
    height = sum(p.height * n for p, n in chosen)
    least = height if answer.status == 0 else int(np.ceil(answer.mip_dual_bound - 1e-6))
    return Packing(chosen, height, least)


def simplest(
    made: Sequence[Pattern], wanted: Counts, height: int
) -> tuple[tuple[Pattern, int], ...] | None:
    """Return a plan no taller than `height` with few cuts to think about; None if none is found."""
    effort = np.array([1 + sum(1 + (c.stacked > 1) for c, _ in p.columns) for p in made], float)
    answer = _whole(made, wanted, effort, (0, height))
    return None if answer.x is None else _numbered(made, answer.x)


def _whole(
    made: Sequence[Pattern], wanted: Counts, cost: Floats, heights: tuple[float, float]
) -> Any:  # noqa: ANN401 - scipy's result, which has no stub
    from scipy.optimize import Bounds, LinearConstraint, milp

    solve: Any = milp
    table = [pattern.yields(len(wanted)) for pattern in made]
    rows = np.column_stack([table, [pattern.height for pattern in made]]).T
    # HiGHS holds rows to 1e-6 and whole numbers too: large rows would be missed by rounding alone,
    # and it writes a line to standard output whenever it repairs that. A row counts in whole
    # units, so that shrunk it still can't be missed by one.
    shrink = 1 / (SHRINK * rows.max(axis=1))
    least = shrink * np.append(wanted, heights[0])
    most = shrink * np.append(np.full(len(wanted), np.inf), heights[1])
    return solve(
        cost,
        integrality=np.ones(len(made), int),
        bounds=Bounds(0, float(wanted.max())),
        constraints=LinearConstraint(rows * shrink[:, None], least, most),
        options={"node_limit": MOST_NODES, "mip_rel_gap": 0.0},
    )


def _numbered(made: Sequence[Pattern], answer: Floats) -> tuple[tuple[Pattern, int], ...]:
    numbers = np.rint(answer).astype(int)
    return tuple((p, int(n)) for p, n in zip(made, numbers, strict=True) if n)
