"""All sets of 2, 3 or 4 squares whose cost less the squares' prices is under a limit."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from catalog.matching.packing.set_cuts import CutPrices

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

CHUNK = 2_000_000
"""Numbers worked on at once (16 MB)."""
PARTS_PER_SET = 5
"""Pairs and threes kept on the way, for each set that may be kept."""
ROUNDING = 1e-9
"""By which shares of pairs may add up to more than the set pays."""


@dataclass(frozen=True, eq=False)
class Sets:
    """Some sets and their cost less prices."""

    members: Ints
    """(m, size), ascending in each row."""
    excess: Floats
    """(m,)."""
    complete: bool
    """Whether these are all there are under the limit."""


def sets_under(
    cost: Floats, price: Floats, size: int, limit: float, most: int, cuts: CutPrices | None = None
) -> Sets:
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
        Sets that are kept at most; where there are more, those with the least excess.
    cuts : CutPrices, optional
        What sets pay besides, for n squares.
    """
    share = price / (size - 1)
    plain = cost - share[:, None] - share[None, :]
    paying = cuts is not None and len(cuts.part) > 0
    pair = plain + cuts.pair_share(size) if cuts is not None and paying else plain
    under = limit + ROUNDING if paying else limit
    parts, many = size * (size - 1) // 2, most * PARTS_PER_SET if size > 2 else most
    i, j = np.nonzero(np.triu(pair < under / parts if size > 2 else pair < under, 1))
    found = _least(np.column_stack([i, j]), pair[i, j], many)
    complete = found.complete
    for held in range(2, size):
        # Each pair of the set is in (size - 2) of its threes; only for 4 is there a middle step.
        found = _extended(pair, found, under if held + 1 == size else under / 2.0, many)
        complete = complete and found.complete
    members, excess = found.members, found.excess
    if cuts is not None and paying:
        excess = cuts.paid_by(members)
        for a, b in combinations(range(size), 2):
            excess += plain[members[:, a], members[:, b]]
        members, excess = members[excess < limit], excess[excess < limit]
    found = _least(members, excess, most)
    return Sets(found.members, found.excess, complete and found.complete)


def _extended(pair: Floats, base: Sets, limit: float, most: int) -> Sets:
    """Return the sets of one square more that stay under the limit."""
    step = max(CHUNK // max(len(pair), 1), 1)
    found = Sets(np.zeros((0, base.members.shape[1] + 1), np.int64), np.zeros(0), complete=True)
    powers = len(pair) ** np.arange(base.members.shape[1], -1, -1)
    for at in range(0, len(base.members), step):
        members = base.members[at : at + step]
        excess = pair[members[:, 0]] + base.excess[at : at + step, None]
        for column in members.T[1:]:
            excess += pair[column]
        row, last = np.nonzero(excess < limit)
        more = np.sort(np.column_stack([members[row], last]), axis=1)
        every = np.concatenate([found.members, more])
        _, where = np.unique(every @ powers, return_index=True)
        values = np.concatenate([found.excess, excess[row, last]])[where]
        least = _least(every[where], values, most)
        found = Sets(least.members, least.excess, found.complete and least.complete)
    return found


def _least(members: Ints, excess: Floats, most: int) -> Sets:
    if len(members) <= most:
        return Sets(members, excess, complete=True)
    keep = np.sort(np.argsort(excess, kind="stable")[:most])
    return Sets(members[keep], excess[keep], complete=False)
