"""Where the search for pairs begins: the cheapest fractional pairing, an assignment problem.

Every square may have two halves of pairs, with two others or twice with the same, or stay spare at
a price. That is the assignment of squares to squares, whose cycles of even length are pairs as they
stand; only the odd ones, one square in fourteen of 1,000 random colours, are left to the exact
search (U. Derigs, A. Metz, Annals of Operations Research 1986; D. Applegate, W. Cook, "Solving
large-scale matching problems", DIMACS 12, 1993: the fractional jump start).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.matching.solver.whole_costs import FAR, WholeCosts

Ints = NDArray[np.int64]

WARM_SWEEPS: Final = 4
MAX_SWEEPS: Final = 300
"""From the assignment to its prices; measured on 1,000 colours: 14 to 18. PairPrices that aren't
right then are lowered until they are."""


@dataclass(frozen=True, eq=False)
class LikelyPairs:
    """Pairs that are looked at first, in both directions, row by row."""

    i: Ints
    """(m,) and ``j``: the pairs' ends; every square with itself too."""
    j: Ints
    cost: Ints
    """(m,); of a square with itself 0."""
    starts: Ints
    """(n,) where each square's row begins."""

    @property
    def n(self) -> int:
        """Number of squares."""
        return len(self.starts)

    @property
    def alone(self) -> Ints:
        """Where each square stands with itself."""
        return np.flatnonzero(self.i == self.j)


def likely_pairs(costs: WholeCosts, i: Ints, j: Ints) -> LikelyPairs:
    """Put pairs of two squares, and every square with itself, in order."""
    n, own = costs.n, np.arange(costs.n)
    keys = np.unique(np.concatenate([i * n + j, j * n + i, own * n + own]))
    i, j = np.divmod(keys, n)
    cost = np.zeros(len(keys), np.int64)
    two = i != j
    cost[two] = costs.of(i[two], j[two])
    return LikelyPairs(i, j, cost, np.searchsorted(i, own))


def nearest_pairs(costs: WholeCosts, near: int) -> tuple[Ints, Ints]:
    """Return the allowed pairs in which the second is among the first's nearest."""
    near = min(near, costs.n - 1)
    ends = []
    for some, rows in costs.strips():
        places = np.argpartition(rows, near - 1, axis=1)[:, :near]
        first = np.arange(some.start, some.stop)[:, None]
        allowed = np.take_along_axis(rows, places, axis=1) < FAR
        ends.append(np.stack([np.broadcast_to(first, places.shape)[allowed], places[allowed]]))
    i, j = np.concatenate(ends, axis=1)
    return i, j


def fractional_pairs(pairs: LikelyPairs, spare: int) -> tuple[Ints, Ints]:
    """Return the cheapest fractional pairing, and prices that prove it so.

    Parameters
    ----------
    pairs : LikelyPairs
    spare : int
        Price at which a square may stay spare.

    Returns
    -------
    partner : array, (n,)
        With whom each square has its first half; its cycles are the pairing. Its own place where
        it stays spare.
    price : array, (n,)
        ``spare`` at most; two squares' prices come to no more than their pair, and to just that
        for pairs that the pairing has.
    """
    from scipy.sparse import csr_array
    from scipy.sparse.csgraph import min_weight_full_bipartite_matching

    warm = _warm(pairs, spare)
    cost = pairs.cost - warm[pairs.i] - warm[pairs.j]
    cost[pairs.alone] += 2 * spare
    ends = np.append(pairs.starts, len(cost)).astype(np.int32)
    above = cost + (1.0 - cost.min())  # what costs nothing would be no pair to scipy
    graph = csr_array((above, pairs.j.astype(np.int32), ends), shape=(pairs.n, pairs.n))
    partner = np.asarray(min_weight_full_bipartite_matching(graph)[1], np.int64)
    at = np.searchsorted(pairs.i * pairs.n + pairs.j, np.arange(pairs.n) * pairs.n + partner)
    back = np.zeros(pairs.n, np.int64)
    for _ in range(MAX_SWEEPS):
        there = cost[at] - back[partner]
        lower = np.minimum(back, np.minimum.reduceat(cost - there[pairs.j], pairs.starts))
        if np.array_equal(lower, back):
            break
        back = lower
    return partner, warm + (cost[at] - back[partner] + back) // 2


def fewest_spares(costs: WholeCosts) -> int:
    """Return how many squares at least stay spare in any pairing, be it of halves of pairs."""
    from scipy.sparse import csr_array
    from scipy.sparse.csgraph import maximum_bipartite_matching

    places = np.empty(costs.allowed, np.int32)
    starts = [0]
    for _, rows in costs.strips():  # scipy would take 16 bytes for each pair to find them itself
        of, place = np.nonzero(rows < FAR)
        places[starts[-1] : starts[-1] + len(place)] = place
        starts += (starts[-1] + np.cumsum(np.bincount(of, minlength=len(rows)))).tolist()
    pairs = np.ones(costs.allowed, bool), places, np.array(starts, np.int32)
    graph = csr_array(pairs, shape=(costs.n, costs.n))
    partner = maximum_bipartite_matching(graph, perm_type="column")
    return int(np.count_nonzero(partner < 0))


def _warm(pairs: LikelyPairs, most: int) -> Ints:
    """Return prices of squares near those that hold, each at most ``most``, by averaging."""
    cost = pairs.cost.copy()
    cost[pairs.alone] = FAR
    price: Ints = np.minimum(np.minimum.reduceat(cost, pairs.starts) // 2, most)
    for _ in range(WARM_SWEEPS):
        room = np.minimum.reduceat(cost - price[pairs.j], pairs.starts)
        price = np.minimum((price + room) // 2, most)
    return price
