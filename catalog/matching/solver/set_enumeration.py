"""All sets of 2, 3 or 4 squares whose cost less the squares' prices is under a limit."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

CHUNK = 2_000_000
"""Numbers worked on at once (16 MB)."""


@dataclass(frozen=True, eq=False)
class Sets:
    """Some sets and their cost less prices."""

    members: Ints
    """(m, size), ascending in each row."""
    excess: Floats
    """(m,)."""
    complete: bool
    """Whether these are all there are under the limit."""


def sets_under(cost: Floats, price: Floats, size: int, limit: float, most: int) -> Sets:
    """Find sets whose summed pair costs less summed prices stay under a limit.

    Complete without looking at all sets: with every square's price shared out over its pairs,
    a set under the limit holds a pair under the limit's share for a pair, and (for 4) three
    squares under the share for three, because the least is never more than the mean.

    Parameters
    ----------
    cost : array of float, shape (n, n)
        Symmetric; inf where two must not be in one set and on the diagonal.
    price : array of float, shape (n,)
    size : int
        2, 3 or 4.
    limit : float
    most : int
        Sets, and parts of sets, that are kept at most; where there are more, those with the
        least excess.
    """
    share = price / (size - 1)
    pair = cost - share[:, None] - share[None, :]
    parts = size * (size - 1) // 2
    i, j = np.nonzero(np.triu(pair < limit / parts if size > 2 else pair < limit, 1))
    found = _least(np.column_stack([i, j]), pair[i, j], most)
    complete = found.complete
    for held in range(2, size):
        # Each pair of the set is in (size - 2) of its threes; only for 4 is there a middle step.
        under = limit if held + 1 == size else limit / 2.0
        found = _extended(pair, found, under, most)
        complete = complete and found.complete
    return Sets(found.members, found.excess, complete)


def _extended(pair: Floats, base: Sets, limit: float, most: int) -> Sets:
    """Return the sets of one square more that stay under the limit."""
    step = max(CHUNK // max(len(pair), 1), 1)
    found = Sets(np.zeros((0, base.members.shape[1] + 1), np.int64), np.zeros(0), complete=True)
    for at in range(0, len(base.members), step):
        members = base.members[at : at + step]
        excess = base.excess[at : at + step, None] + pair[members].sum(axis=1)
        row, last = np.nonzero(excess < limit)
        more = np.sort(np.column_stack([members[row], last]), axis=1)
        every, where = np.unique(np.concatenate([found.members, more]), axis=0, return_index=True)
        values = np.concatenate([found.excess, excess[row, last]])[where]
        least = _least(every, values, most)
        found = Sets(least.members, least.excess, found.complete and least.complete)
    return found


def _least(members: Ints, excess: Floats, most: int) -> Sets:
    if len(members) <= most:
        return Sets(members, excess, complete=True)
    keep = np.sort(np.argsort(excess, kind="stable")[:most])
    return Sets(members[keep], excess[keep], complete=False)
