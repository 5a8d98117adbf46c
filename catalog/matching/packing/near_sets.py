"""Sets of squares that are near each other: columns to begin with."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.matching.packing.exchange import Demand, Pick, Rules

Bools = NDArray[np.bool_]

NEAREST: Final = (0, 1, 8, 7, 5)
"""Of each square, by the size of the sets."""


def near_sets(rules: Rules, demands: Sequence[Demand], free: Bools) -> list[Pick]:
    """Return for all demands each free square with all choices of its nearest."""
    found: list[Pick] = []
    for at, demand in enumerate(demands):
        where = np.flatnonzero(free & demand.members)
        if len(where) < demand.size:
            continue
        cost = rules.cost_for(at)[np.ix_(where, where)]
        near = np.argsort(cost, axis=1, kind="stable")[:, : NEAREST[demand.size]]
        own = np.arange(len(where))
        sets = [
            np.column_stack([own, *(near[:, one] for one in some)])
            for some in combinations(range(near.shape[1]), demand.size - 1)
        ]
        for squares in np.unique(np.sort(where[np.concatenate(sets)], axis=1), axis=0).tolist():
            pick = at, tuple(squares)
            if rules.allows(pick):
                found.append(pick)
    return found
