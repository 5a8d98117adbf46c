"""The cheapest k pairs, proven, and the one of equally cheap ones that the rules name."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.matching.solver.exact_pairs import PairSearch
from catalog.matching.solver.forced_pairs import forced_pairs
from catalog.matching.solver.near_squares import NearPairs
from catalog.matching.solver.pair_costs import PairCosts
from catalog.matching.solver.tie_breaking import settle
from catalog.matching.solver.whole_costs import PARTS, WholeCosts
from catalog.models import SameFabric

Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

MAX_TIES_PER_SQUARE = 30
"""Equally good pairs for each square above which ties are settled among some of them only."""


@dataclass(frozen=True)
class PairProblem:
    """What is asked of the pairs.

    Vertices are numbered in the order in which ties are settled.
    """

    cost: PairCosts
    same: Bools | None = None
    """(n, n) pairs of one fabric; asked for where they are preferred or avoided."""
    same_fabric: SameFabric = "allow"
    """``prefer`` or ``avoid`` pairs of one fabric before all else but the number of pairs."""


def best_pairs(problem: PairProblem, wanted: int) -> list[tuple[int, int]]:
    """Return the ``wanted`` pairs of least total cost, or as many as there can be; exact.

    First the most pairs, then the rule on fabrics, then the least total (to 1e-8 for
    each pair), then the least worst pair, then the pairs whose sorted list comes first.
    """
    target = min(wanted, len(problem.cost) // 2)
    if target < 1:
        return []
    if problem.same_fabric == "avoid" and problem.same is not None:
        found = _settled(WholeCosts(problem.cost.barring(problem.same), None, target), target)
        if len(found) == target:
            return found
    return _settled(WholeCosts(problem.cost, _worse(problem), target), target)


def _worse(problem: PairProblem) -> Bools | None:
    """Return the pairs that the rule on fabrics speaks against; None where it decides nothing."""
    if problem.same_fabric == "allow" or problem.same is None:
        return None
    if problem.cost.barred[problem.same].all():
        return None
    return problem.same if problem.same_fabric == "avoid" else ~problem.same


def _settled(costs: WholeCosts, target: int) -> list[tuple[int, int]]:
    """Return the best pairs, ties settled among all that the proof leaves in doubt."""
    pairs, proof = PairSearch(costs, target).run()
    doubt = proof.doubt
    if len(doubt.i) > MAX_TIES_PER_SQUARE * costs.n:
        doubt = _thinned(doubt, pairs)
    forced, open_ = forced_pairs(proof, doubt)
    if len(forced) < len(pairs):
        price = 2 * proof.prices.spare // PARTS
        forced = np.concatenate([forced, _chosen(costs, forced, open_, len(pairs), price)])
    return sorted((int(a), int(b)) for a, b in forced)


def _chosen(costs: WholeCosts, forced: Ints, open_: NearPairs, target: int, price: int) -> Ints:
    """Return the best of the pairs that are open, beside those that are forced."""
    squares, ends = np.unique(np.stack([open_.i, open_.j]), return_inverse=True)
    edges = ends.reshape(2, -1).T
    cost = costs.units(open_.i, open_.j)
    worst = costs.units(*forced.T, plain=True).max(initial=0)
    least = np.maximum(costs.units(open_.i, open_.j, plain=True), worst)
    levels = cost.tolist(), least.tolist()
    return squares[settle(len(squares), edges, levels, target - len(forced), price)]


def _thinned(doubt: NearPairs, pairs: Ints) -> NearPairs:
    """Return the pairing in hand and for each square its first few ties."""
    _, starts, counts = np.unique(doubt.i, return_index=True, return_counts=True)
    rank = np.arange(len(doubt.i)) - np.repeat(starts, counts)
    partner = dict(pairs.tolist())
    mine = [partner.get(a) == b for a, b in zip(doubt.i.tolist(), doubt.j.tolist(), strict=True)]
    return doubt.some((rank < MAX_TIES_PER_SQUARE // 3) | np.array(mine))
