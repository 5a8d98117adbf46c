"""Locked sets: checked, and each given to a request."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import numpy as np

from catalog.errors import SetError
from catalog.models import MatchRules, SetRequest

_NO_FIT = 1e6


def place_locks(
    requests: Sequence[SetRequest], rules: MatchRules
) -> list[tuple[int, tuple[str, ...]]]:
    """Return each locked set with the place of the request that it serves.

    The first request is served before the next, as far as all locked sets find a place.

    Raises
    ------
    SetError
        Where locked sets contradict the other rules, each other or the requests.
    """
    _check(requests, rules)
    if not rules.locked:
        return []
    from scipy.optimize import linear_sum_assignment

    many = len(rules.locked)
    slots = [
        r
        for r, request in enumerate(requests)
        for _ in range(many if request.sets is None else min(request.sets, many))
    ]
    fits = np.array(
        [[r if _fits(requests[r], lock) else _NO_FIT for r in slots] for lock in rules.locked]
    ).reshape(many, -1)
    rows, columns = linear_sum_assignment(fits)
    placed = {int(i): slots[j] for i, j in zip(rows, columns, strict=True) if fits[i, j] < _NO_FIT}
    if len(placed) < many:
        lock = next(lock for i, lock in enumerate(rules.locked) if i not in placed)
        msg = f"there is no place for the locked set {_joined(lock)} among the sets asked for"
        raise SetError(msg, "ask for more sets or lock fewer")
    return [(placed[i], lock) for i, lock in enumerate(rules.locked)]


def _fits(request: SetRequest, lock: tuple[str, ...]) -> bool:
    return request.size == len(lock) and request.eligible.issuperset(lock)


def _joined(lock: Sequence[str]) -> str:
    return " + ".join(lock)


def _check(requests: Sequence[SetRequest], rules: MatchRules) -> None:
    sizes = sorted({request.size for request in requests})
    forbidden = {frozenset(pair) for pair in rules.forbidden}
    seen: set[str] = set()
    for lock in rules.locked:
        if len(lock) not in sizes:
            wanted = " or ".join(map(str, sizes)) or "0"
            msg = f"the locked set {_joined(lock)} has {len(lock)} squares, the sets {wanted}"
            raise SetError(msg, f"lock {wanted} squares together")
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
