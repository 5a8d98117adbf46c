"""The cheapest k pairs, proven, and the one of equally cheap ones that the rules name."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.linear_programs import TOLERANCE
from catalog.matching.solver.blossom import HASH_BITS, Edges, PairGraph, hashes
from catalog.matching.solver.certificate import certify
from catalog.matching.solver.dual_program import nearest_pairs
from catalog.matching.solver.tie_breaking import settle
from catalog.models import SameFabric

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

UNITS = 1e8
"""Costs are counted in hundred-millionths of a CIEDE2000, so that equal means equal."""
MAX_DENSE = 48
"""Up to so many squares all pairs are looked at from the start."""
NEAREST_TRIED = 8
"""Neighbours of each square in the first graph (measured at 1,000 random colours: 5, 6 and 8
take the same time)."""
MAX_WIDENINGS = 3
"""Times the first graph takes in all pairs of the squares left over, before all pairs at all."""
MAX_TIES_PER_SQUARE = 30
"""Equally good pairs for each square above which ties are settled among some of them only."""


@dataclass(frozen=True)
class PairProblem:
    """What is asked of the pairs.

    Vertices are numbered in the order in which ties are settled.
    """

    cost: Floats
    """(n, n) symmetric; inf where two may not be a pair and on the diagonal."""
    same: Bools
    """(n, n) pairs of one fabric."""
    same_fabric: SameFabric = "allow"
    """``prefer`` or ``avoid`` pairs of one fabric before all else but the number of pairs."""


def best_pairs(problem: PairProblem, wanted: int) -> list[tuple[int, int]]:
    """Return the ``wanted`` pairs of least total cost, or as many as there can be; exact.

    First the most pairs, then the rule on fabrics, then the least total (to 1e-8 for
    each pair), then the least worst pair, then the pairs whose sorted list comes first.
    """
    n = len(problem.cost)
    target = min(wanted, n // 2)
    if target < 1:
        return []
    search = _PairSearch(problem, target)
    return [(int(a), int(b)) for a, b in search.run()]


class _PairSearch:
    """One run of `best_pairs`."""

    def __init__(self, problem: PairProblem, target: int) -> None:
        self.problem, self.target, self.n = problem, target, len(problem.cost)
        self.allowed = np.triu(np.isfinite(problem.cost), 1)
        self.worse: Bools | None = None
        if problem.same_fabric != "allow" and bool((problem.same & self.allowed).any()):
            self.worse = problem.same if problem.same_fabric == "avoid" else ~problem.same

    def run(self) -> Edges:
        """Find a good pairing, prove a bound, and settle among the pairs still in doubt."""
        if self.worse is not None and self.problem.same_fabric == "avoid":
            strict = PairProblem(np.where(self.problem.same, np.inf, self.problem.cost), self.worse)
            search = _PairSearch(strict, self.target)
            found = search.first()
            if len(found) == self.target:
                return search.prove(found)
        return self.prove(self.first())

    def prove(self, found: Edges) -> Edges:
        """Return the best pairing of as many pairs as the one in hand."""
        if not len(found):
            return found
        self.target = len(found)
        if self.n <= MAX_DENSE:
            return self._settle(np.argwhere(self.allowed), found, guess=None)
        proof = certify(self.problem.cost, found, self.worse, self._improved)
        found, doubt = proof.pairs, self.allowed & proof.doubt
        doubt[found[:, 0], found[:, 1]] = True
        edges = np.argwhere(doubt)
        if len(edges) > MAX_TIES_PER_SQUARE * self.n and proof.gap <= 2 * TOLERANCE:
            edges = self._thinned(doubt, found)
        return self._settle(edges, found, guess=proof.price)

    def first(self) -> Edges:
        """Return a pairing with the right number of pairs and of one fabric, cheap."""
        if self.n > MAX_DENSE:
            near = self._near()
            for _ in range(MAX_WIDENINGS):
                edges = np.argwhere(near)
                found = edges[list(self._solve(edges))]
                if len(found) == self.target and self._fabric_rule_met(found):
                    return found
                left = np.ones(self.n, bool)
                left[found.ravel()] = False
                near |= self.allowed & (left[:, None] | left[None, :])
        edges = np.argwhere(self.allowed)
        return edges[list(self._solve(edges))]

    def _improved(self, likely: Edges, price: float) -> Edges:
        """Return the best pairing among likely pairs."""
        graph = PairGraph(self.n, likely, self._costs(likely))
        return likely[list(graph.cheapest(self.target, self._price(price)))]

    def _solve(self, edges: Edges) -> tuple[int, ...]:
        """Return a pairing that is cheap, but exact only in the rule on fabrics."""
        graph = PairGraph(self.n, edges, self._costs(edges))
        guess = self._price(self._guess(edges))
        return graph.cheapest(self.target, guess, near=self.worse is None)

    def _price(self, price: float) -> int | None:
        """Return a price for `PairGraph`; none where the rule on fabrics tops the costs."""
        return None if self.worse is not None else round(price * UNITS) << HASH_BITS

    def _settle(self, edges: Edges, found: Edges, guess: float | None) -> Edges:
        price = None if guess is None or self.worse is not None else round(guess * UNITS)
        units = self._units(edges)
        cost = [int(c) for c in self._levels(edges)]
        return settle(self.n, edges, (cost, units), len(found), price)

    def _units(self, edges: Edges) -> list[int]:
        cost = self.problem.cost[edges[:, 0], edges[:, 1]]
        units: list[int] = np.rint(cost * UNITS).astype(np.int64).tolist()
        return units

    def _scale(self, edges: Edges) -> int:
        """Return a cost above any difference between two pairings."""
        return (self.target + 1) * (max(self._units(edges), default=0) + 1)

    def _levels(self, edges: Edges) -> list[int]:
        """Return costs in units, a big one on top for each pair against the rule on fabrics."""
        units = self._units(edges)
        if self.worse is None:
            return units
        big = self._scale(edges)
        worse = self.worse[edges[:, 0], edges[:, 1]].tolist()
        return [unit + big * bad for unit, bad in zip(units, worse, strict=True)]

    def _costs(self, edges: Edges) -> list[int]:
        low = hashes(self.n, edges)
        return [(c << HASH_BITS) + h for c, h in zip(self._levels(edges), low, strict=True)]

    def _near(self) -> Bools:
        """Return pairs of near neighbours, and all of one fabric where these are preferred."""
        near = nearest_pairs(self.problem.cost, NEAREST_TRIED)
        if self.problem.same_fabric == "prefer":
            near |= self.problem.same & self.allowed
        return near

    def _guess(self, edges: Edges) -> float:
        """Return about what the dearest pair costs: that of a greedy choice."""
        cost = self.problem.cost[edges[:, 0], edges[:, 1]]
        free = np.ones(self.n, bool)
        taken, last = 0, 0.0
        for e in np.argsort(cost, kind="stable").tolist():
            a, b = edges[e]
            if free[a] and free[b]:
                free[a] = free[b] = False
                taken, last = taken + 1, float(cost[e])
                if taken == self.target:
                    break
        return last

    def _fabric_rule_met(self, found: Edges) -> bool:
        """Tell whether no pairing can do better by the rule on fabrics."""
        if self.worse is None:
            return True
        good = int((~self.worse[found[:, 0], found[:, 1]]).sum())
        fit = np.argwhere(self.allowed & ~self.worse)
        most = PairGraph(self.n, fit, [0] * len(fit)).cheapest(self.n // 2)
        return good == min(self.target, len(most))

    def _thinned(self, doubt: Bools, found: Edges) -> Edges:
        """Return the pairing in hand and for each square its first few ties."""
        rank = np.cumsum(doubt, axis=1)
        few = doubt & (rank <= MAX_TIES_PER_SQUARE // 3)
        few[found[:, 0], found[:, 1]] = True
        return np.argwhere(few)
