"""Cheapest pairings of k pairs in a given graph, by rustworkx's blossom method."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Edges = NDArray[np.int64]
"""(m, 2) vertices from 0, the smaller first, each pair once."""

HASH_BITS = 24
"""Random low bits that tell pairings of one cost apart; two of some thousands of edges'
pairings fall together with a chance of 2^-24, and `_with_spares` then still answers."""

MAX_COST_BITS = 112
"""rustworkx counts in 128 bits and needs a few of them for doubled sums."""

NEAR_ENOUGH = 1.05
"""Times the edges wanted, for a first pairing whose dearest edges are then left out."""
_FIRST_STEP = 2.0**-10
_STEP_GROWTH = 4
"""From a price a little off, in parts of it, to one on the other side of the right one."""


def hashes(n: int, edges: Edges) -> list[int]:
    """Return a fixed pseudo-random number of `HASH_BITS` for every edge (splitmix64)."""
    x = (edges[:, 0] * n + edges[:, 1] + 1).astype(np.uint64) * np.uint64(0x9E3779B97F4A7C15)
    x = (x ^ (x >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    x = (x ^ (x >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    bits: list[int] = (x >> np.uint64(64 - HASH_BITS)).tolist()
    return bits


@dataclass(frozen=True)
class _Found:
    """Edges chosen, by place in the list, and what they cost together."""

    chosen: tuple[int, ...]
    cost: int


class PairGraph:
    """A graph whose cheapest pairings are asked for.

    Parameters
    ----------
    n : int
        Vertices.
    edges : Edges
    costs : list of int
        One for each edge, at most `MAX_COST_BITS` bits in sum.
    """

    def __init__(self, n: int, edges: Edges, costs: list[int]) -> None:
        self.n = n
        self.ends = [(int(a), int(b)) for a, b in edges]
        self.costs = costs
        self.price: int | None = None
        """The last price tried, doubled."""

    def cheapest(self, k: int, guess: int | None = None, *, near: bool = False) -> tuple[int, ...]:
        """Return the k edges without a common vertex that cost least, or as many as there are.

        The least cost is convex in the number of edges, so a price paid for every edge makes
        the heaviest matching have k edges; the price is found by the line through the sizes
        on either side.

        Parameters
        ----------
        k : int
        guess : int, optional
            Price to try first, near the cost of the dearest edge.
        near : bool
            Take the first matching of k edges or more and leave out its dearest.

        Returns
        -------
        tuple of int
            Places in the list of edges, ascending.
        """
        if k <= 0 or not self.ends:
            return ()
        low, high = _Found((), 0), None
        if guess is not None and 2 * k < self.n - 1:
            low, high = self._bracket(k, guess, NEAR_ENOUGH if near else 1.0)
        if high is None:
            high = self._heaviest(None)
        if near and len(high.chosen) > k:
            return tuple(sorted(sorted(high.chosen, key=lambda e: (self.costs[e], e))[:k]))
        return self._between(k, low, high)

    def _bracket(self, k: int, guess: int, most: float) -> tuple[_Found, _Found | None]:
        """Return matchings of fewer and of k to ``most`` times k edges, or as near as it goes."""
        low, high = _Found((), 0), None
        step = max(int(abs(guess) * _FIRST_STEP), 1)
        price = guess
        while step <= 4 * abs(guess) + 4:
            found = self._heaviest(2 * price + 1)
            if len(found.chosen) >= k:
                high, price = found, price - step
            else:
                low, price = found, price + step
            if high is not None and (low.chosen or len(high.chosen) <= k * most):
                break
            step *= _STEP_GROWTH
        return low, high

    def _between(self, k: int, low: _Found, high: _Found) -> tuple[int, ...]:
        """Close in on k edges between two sizes."""
        while len(high.chosen) > k:
            slope = 2 * (high.cost - low.cost) // (len(high.chosen) - len(low.chosen))
            found = self._heaviest(slope | 1)
            size = len(found.chosen)
            if not len(low.chosen) < size < len(high.chosen):
                return self._with_spares(k) if len(low.chosen) != k else low.chosen
            if size == k:
                return found.chosen
            low, high = (found, high) if size < k else (low, found)
        return high.chosen

    def _heaviest(self, price: int | None) -> _Found:
        """Return the matching of greatest price less twice the cost; of most edges for None."""
        self.price = price
        worth = [(0 if price is None else price) - 2 * cost for cost in self.costs]
        keep = [e for e, w in enumerate(worth) if price is None or w > 0]
        chosen = _match(self.n, [self.ends[e] for e in keep], [worth[e] for e in keep], price)
        places = tuple(sorted(keep[c] for c in chosen))
        return _Found(places, sum(self.costs[e] for e in places))

    def _with_spares(self, k: int) -> tuple[int, ...]:
        """Do the same by n - 2k spare vertices that take up those left out (slow, always right)."""
        spares = range(self.n, 2 * self.n - 2 * k)
        ends = self.ends + [(v, s) for v in range(self.n) for s in spares]
        worth = [-cost for cost in self.costs] + [0] * (len(ends) - len(self.ends))
        chosen = _match(spares.stop, ends, worth, None)
        return tuple(sorted(e for e in chosen if e < len(self.ends)))


def _match(n: int, ends: list[tuple[int, int]], worth: list[int], price: int | None) -> list[int]:
    """Return the places of the edges of a heaviest matching; of most edges where price is None."""
    import rustworkx

    graph = rustworkx.PyGraph(multigraph=False)
    graph.add_nodes_from(range(n))
    graph.add_edges_from([(a, b, w) for (a, b), w in zip(ends, worth, strict=True)])
    pairs = rustworkx.max_weight_matching(graph, max_cardinality=price is None, weight_fn=int)
    place = {pair: e for e, pair in enumerate(ends)}
    return [place[(a, b) if a < b else (b, a)] for a, b in pairs]
