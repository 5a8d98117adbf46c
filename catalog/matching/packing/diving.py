"""Whole sets out of the linear program's fractions: a dive."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog.linear_programs import Floats
from catalog.matching.packing.exchange import Pick
from catalog.matching.packing.near_sets import near_sets
from catalog.matching.packing.set_columns import Columns
from catalog.matching.packing.set_cuts import EPSILON

MOSTLY = 0.6
"""Of which sets are taken though the linear program takes a part of them."""
SHARE = 8
"""One in so many fractions at most is made whole at once."""


def dive(columns: Columns, taken: Floats) -> list[Pick]:
    """Take the sets that the linear program takes, solve it for what is left, and so on.

    Parameters
    ----------
    columns : Columns
        Gets more sets on the way: near ones among the squares left, or these would be stuck with
        far ones. The linear program is as it was afterwards.
    taken : array, (columns,)
        What it took.
    """
    held: list[int] = []
    free = np.ones(columns.n, bool)
    while True:
        for at in _next(columns, taken, free):
            squares = list(columns.picks[at][1])
            if free[squares].all():
                free[squares] = False
                held.append(at)
        columns.hold(held, taken=True)
        if not ((taken > EPSILON) & (taken < 1 - EPSILON)).any():
            break
        columns.add(near_sets(columns.rules, columns.demands, free))
        prices = columns.prices()
        if prices is None:
            break
        taken = prices.taken
    columns.hold(held, taken=False)
    return [columns.picks[at] for at in held]


def _next(columns: Columns, taken: Floats, free: NDArray[np.bool_]) -> list[int]:
    """Return the columns taken whole, then the greatest fractions."""
    open_ones = np.array([free[list(columns.picks[at][1])].all() for at in np.flatnonzero(taken)])
    some = np.flatnonzero(taken)[open_ones] if len(open_ones) else np.zeros(0, np.int64)
    whole = some[taken[some] >= 1 - EPSILON]
    parts = some[(taken[some] > EPSILON) & (taken[some] < 1 - EPSILON)]
    parts = parts[np.argsort(-np.round(taken[parts], 9), kind="stable")]
    most = parts[: max(1, len(parts) // SHARE)]
    rich = [at for i, at in enumerate(most.tolist()) if i == 0 or taken[at] >= MOSTLY]
    found: list[int] = whole.tolist() + rich
    return found
