"""Locked sets: checked, and each given to a request."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from catalog.errors import SetError
from catalog.matching.difference_table import DifferenceTable
from catalog.models import MatchRules, SetRequest

_NO_FIT = 1e9


@dataclass(frozen=True)
class PlacedLocks:
    """Where the locked sets go."""

    placed: tuple[tuple[int, tuple[str, ...]], ...]
    """Those that count, each with the place of the request that it serves."""
    beside: tuple[tuple[int, tuple[str, ...]], ...]
    """Those too far apart to count: of a request, but they take up none of its sets."""
    left_aside: tuple[tuple[str, ...], ...]
    """Those of which no request asks, or for which none has room."""


def place_locks(
    requests: Sequence[SetRequest], rules: MatchRules, tables: Sequence[DifferenceTable]
) -> PlacedLocks:
    """Give each locked set to a request that asks for its squares.

    The first request is served before the next, as far as all locked sets find a place; where
    there is no room for all, those named first have it.

    Parameters
    ----------
    requests : sequence of SetRequest
    rules : MatchRules
    tables : sequence of DifferenceTable
        One for each request.

    Raises
    ------
    SetError
        Where locked sets contradict the other rules or each other.
    """
    check_locks(rules)
    counting, beside, aside = [], [], []
    for lock in rules.locked:
        fitting = [r for r, one in enumerate(requests) if one.suits(lock)]
        if not fitting:
            aside.append(lock)
        elif any(_counts(tables[r], lock) for r in fitting):
            counting.append(lock)
        else:
            beside.append((fitting[0], lock))
    placed = _assigned(requests, tables, counting)
    aside += [lock for i, lock in enumerate(counting) if i not in placed]
    return PlacedLocks(
        tuple((placed[i], lock) for i, lock in enumerate(counting) if i in placed),
        tuple(beside),
        tuple(lock for lock in rules.locked if lock in aside),
    )


def _counts(table: DifferenceTable, lock: Sequence[str]) -> bool:
    return table.counts([table.place[label] for label in lock])


def _assigned(
    requests: Sequence[SetRequest],
    tables: Sequence[DifferenceTable],
    locks: Sequence[tuple[str, ...]],
) -> dict[int, int]:
    """Return the request of each lock, as many as find one."""
    if not locks:
        return {}
    from scipy.optimize import linear_sum_assignment

    many = len(locks)
    slots = [
        r
        for r, request in enumerate(requests)
        for _ in range(many if request.sets is None else min(request.sets, many))
    ]
    cost = np.array(
        [
            [*(float(r) if requests[r].suits(lock) and _counts(tables[r], lock) else np.inf
               for r in slots),
             *([_NO_FIT - i * len(requests)] * many)]
            for i, lock in enumerate(locks)
        ]
    )  # fmt: skip
    rows, columns = linear_sum_assignment(cost)
    found = zip(rows.tolist(), columns.tolist(), strict=True)
    return {i: slots[j] for i, j in found if j < len(slots)}


def check_locks(rules: MatchRules) -> None:
    """Refuse locked sets that contradict each other or the other rules.

    Raises
    ------
    SetError
    """
    forbidden = {frozenset(pair) for pair in rules.forbidden}
    seen: set[str] = set()
    for lock in rules.locked:
        for label in lock:
            if label in seen:
                msg = f"{label} is locked twice"
                raise SetError(msg, "keep it in one locked set only")
            if label in rules.held_back:
                msg = f"{label} is both locked and held back"
                raise SetError(msg, "keep one of the two")
            seen.add(label)
        for one, two in combinations(lock, 2):
            if frozenset((one, two)) in forbidden:
                msg = f"{one} and {two} are locked together and kept apart"
                raise SetError(msg, "keep one of the two")
