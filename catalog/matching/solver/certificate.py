"""A proof that no pairing is cheaper: duals of the matching polytope (Edmonds 1965).

Linear program over the likely pairs: every square in one pair or spare, k pairs, and in an odd
group of squares at most (size - 1) / 2 pairs. Its dual prices hold for all pairs at once: a
pair whose cost less its prices exceeds the gap between the pairing in hand and the bound can't
be in a cheaper pairing. Odd groups are added as the program's answers break them (Groetschel
and Holland 1985), until few enough pairs are left in doubt for the exact method.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from catalog.linear_programs import TOLERANCE
from catalog.matching.solver.dual_program import Program

MAX_ROUNDS = 40
"""Rounds of the linear program at most; measured on 1,000 random colours: 1 to 6."""
IMPROVED = (2, 6, 14, 30)
"""Rounds before which a better pairing is looked for among the columns so far."""
DOUBT_PER_SQUARE = 5
"""Pairs left in doubt for each square at which the exact method takes over; one more round
costs as much as it spares there (measured at 1,000)."""
NEAREST_TRIED = 6
"""Neighbours of each square that the program begins with."""


@dataclass(frozen=True)
class Certificate:
    """Prices that prove a bound."""

    cost: float
    """Of the best pairing seen."""
    bound: float
    """No pairing of so many pairs is cheaper."""
    excess: NDArray[np.float64]
    """(n, n) cost less prices, 0 or more but for rounding; inf where not allowed."""
    price: float
    """What one pair more would cost, about."""
    pairs: NDArray[np.int64]
    """The best pairing seen, (k, 2)."""

    @property
    def doubt(self) -> NDArray[np.bool_]:
        """(n, n) the pairs that a cheaper pairing than the best seen could have."""
        return self.excess <= self.gap

    @property
    def gap(self) -> float:
        """By how much the best pairing seen may be too dear."""
        return self.cost - self.bound + TOLERANCE


def certify(
    cost: NDArray[np.float64],
    pairs: NDArray[np.int64],
    marked: NDArray[np.bool_] | None = None,
    improve: Callable[[NDArray[np.int64], float], NDArray[np.int64]] | None = None,
) -> Certificate:
    """Prove a bound on the cost of any pairing of as many pairs.

    Parameters
    ----------
    cost : array of float, shape (n, n)
        Symmetric; inf where two may not be a pair and on the diagonal.
    pairs : array of int, shape (k, 2)
        A pairing in hand, k at least 1, the smaller vertex first; the nearer to the best the
        faster.
    marked : array of bool, shape (n, n), optional
        Pairs of which every pairing that counts has as many as the one in hand.
    improve : callable, optional
        Returns the best pairing, as large, from a list of likely pairs (m, 2) and a price.
    """
    program = Program(cost, pairs, marked, NEAREST_TRIED)
    excess = program.excess()
    proof = replace(_proof(program, excess), pairs=pairs, cost=_cost(cost, pairs))
    for turn in range(MAX_ROUNDS):
        if not program.solve(excess):
            break
        excess = program.excess()
        now = _proof(program, excess)
        if now.bound > proof.bound:
            proof = replace(now, pairs=proof.pairs, cost=proof.cost)
        if np.count_nonzero(proof.doubt) <= 2 * DOUBT_PER_SQUARE * program.n:
            break
        stuck = not (program.add_pairs(excess) | program.add_groups(excess))
        if improve is not None and (stuck or turn in IMPROVED):
            found = improve(program.likely(), proof.price)
            if _cost(cost, found) < proof.cost:
                proof = replace(proof, pairs=found, cost=_cost(cost, found))
        if stuck:
            break
    return proof


def _cost(cost: NDArray[np.float64], pairs: NDArray[np.int64]) -> float:
    return float(cost[pairs[:, 0], pairs[:, 1]].sum())


def _proof(program: Program, excess: NDArray[np.float64]) -> Certificate:
    """Lower the prices until they hold for every pair, and add them up; no pairing yet."""
    d = program.duals
    over = np.maximum(-excess.min(axis=1), 0.0) / 2.0
    if program.left:
        over += np.maximum(d.square - over + d.spare, 0.0)
    halves = np.array([(len(group) - 1) // 2 for group in d.groups], float)
    bound = (d.square - over).sum() + d.spare * program.left + d.mark * program.marks
    rows = np.nonzero(over)[0]
    if len(rows):
        excess = excess.copy()
        excess[rows] += over[rows, None]
        excess[:, rows] += over[None, rows]
    none = np.zeros((0, 2), np.int64)
    return Certificate(0.0, float(bound + d.group @ halves), excess, -2.0 * d.spare, none)
