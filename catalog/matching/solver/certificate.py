"""A proof that no pairing is cheaper: duals of the matching polytope (Edmonds 1965).

Linear program over all pairs: every square in one pair or spare, k pairs, and in an odd group of
squares at most (size - 1) / 2 pairs. Its dual prices of squares, spares and odd groups, whoever
found them, add up to what no pairing can go under; a pair whose cost less its prices exceeds the
gap between the pairing in hand and that bound can't be in a cheaper pairing.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.linear_programs import TOLERANCE
from catalog.matching.solver.near_squares import NearPairs, pairs_within
from catalog.matching.solver.nested_blossoms import NestedBlossoms
from catalog.matching.solver.whole_costs import PARTS, UNITS, WholeCosts

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

ROUNDING: Final = 16
"""Parts of a unit by which prices may miss what they should be: what is halved is rounded down."""


@dataclass(frozen=True, eq=False)
class PairPrices:
    """What squares, a spare square and odd groups of squares, one in the other, are worth."""

    square: Ints
    """(n,) in parts of a unit."""
    spare: int
    """At least as much as the dearest square; what each spare square takes off the sum."""
    outer: Ints
    """(n,) the outermost group that each square is in, or itself."""
    parent: Ints
    """(n + groups,) of squares and groups the next group around, a later one, or -1."""
    weight: Ints
    """(n + groups,) 0 or more: how much more than its squares a pair inside costs; of squares 0."""
    size: Ints
    """(n + groups,) squares inside."""

    @classmethod
    def of(cls, nodes: NestedBlossoms, price: list[int], spare: int) -> PairPrices:
        """Return the prices at which a search ended."""
        return cls(
            square=np.array(price, np.int64),
            spare=spare,
            outer=np.array(nodes.outer, np.int64),
            parent=np.array(nodes.parent, np.int64),
            weight=np.array(nodes.weight, np.int64),
            size=np.array(nodes.size, np.int64),
        )

    def total(self, spares: int) -> int:
        """Return the sum of all prices: no pairing that leaves so many spare costs less."""
        weights = zip(self.weight.tolist(), self.size.tolist(), strict=True)
        groups: int = sum(weight * (size // 2) for weight, size in weights if weight)
        squares: int = sum(self.square.tolist())
        return squares - self.spare * spares - groups

    def without_groups(self) -> Ints:
        """Return prices that hold without groups; squares paired inside one pay the same."""
        half = self._around() // 2
        price: Ints = self.square - half[: len(self.square)]
        return price

    def shared(self, i: Ints, j: Ints) -> Ints:
        """Return the weight of all groups that two squares have in common, for some pairs."""
        around = self._around()
        found = np.zeros(len(i), np.int64)
        going = np.flatnonzero(self.outer[i] == self.outer[j])
        one, two = np.minimum(i, j)[going], np.maximum(i, j)[going]
        while len(going):
            one = self.parent[one]  # what lies further in has the smaller number
            one, two = np.minimum(one, two), np.maximum(one, two)
            met = one == two
            found[going[met]] = around[one[met]]
            going, one, two = going[~met], one[~met], two[~met]
        return found

    def heavy_groups(self, gap: int) -> Ints:
        """Return for each node the next group around that weighs more, or -1, (n + groups,)."""
        parent, light = self.parent.tolist(), (self.weight <= gap).tolist()
        for node in range(len(parent) - 1, -1, -1):
            if parent[node] >= 0 and light[parent[node]]:
                parent[node] = parent[parent[node]]
        return np.array(parent, np.int64)

    def _around(self) -> Ints:
        """Return for each node the weight of all groups that it is in, itself counted."""
        around = self.weight.tolist()
        parent = self.parent.tolist()
        for node in range(len(around) - 1, -1, -1):
            if parent[node] >= 0:
                around[node] += around[parent[node]]
        return np.array(around, np.int64)


@dataclass(frozen=True, eq=False)
class Certificate:
    """What prices prove of a pairing."""

    cost: int
    """Of the pairing, in parts of a unit."""
    bound: int
    """No pairing of so many pairs costs less."""
    doubt: NearPairs
    """The pairs, the smaller first, that a cheaper pairing could have, or one that costs up to
    `TOLERANCE` more; by how much they cost more than their prices."""
    exceeded: NearPairs
    """The pairs that cost less than their prices, in both directions: what these prove is less for
    them."""
    may_be_spare: Bools
    """(n,) the squares that such a pairing could leave spare."""
    prices: PairPrices
    gap: int
    """By how much more than their prices pairs in doubt cost at most."""


def certify(costs: WholeCosts, pairs: Ints, prices: PairPrices) -> Certificate:
    """Look at all pairs, whether prices hold for them, and say what they prove.

    Parameters
    ----------
    costs : WholeCosts
    pairs : array of int, (k, 2)
        A pairing.
    prices : PairPrices
        Any; those that the search for the cheapest ends with prove it.
    """
    spares = costs.n - 2 * len(pairs)
    cost = sum(costs.of(pairs[:, 0], pairs[:, 1]).tolist())
    gap = max(cost - prices.total(spares), 0) + round(TOLERANCE * UNITS) * PARTS
    found = pairs_within(costs, prices.square, gap)
    found = NearPairs(found.i, found.j, found.excess + prices.shared(found.i, found.j))
    found = found.some(found.excess <= gap)
    over = np.maximum(prices.square - prices.spare, 0) if spares else np.zeros(costs.n, np.int64)
    np.maximum.at(over, found.i, -found.excess)
    bound = prices.total(spares) - sum(over.tolist())
    return Certificate(
        cost,
        bound,
        doubt=found.some(found.i < found.j),
        exceeded=found.some(found.excess < -ROUNDING),
        may_be_spare=(prices.square >= prices.spare - gap) & (spares > 0),
        prices=prices,
        gap=gap,
    )
