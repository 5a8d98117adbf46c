"""The cheapest pairs and the proof: fractional start, exact search, then all pairs looked at."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.matching.solver.alternating_trees import FURTHER, AlternatingTrees
from catalog.matching.solver.certificate import ROUNDING, Certificate, PairPrices, certify
from catalog.matching.solver.fractional_pairs import (
    fewest_spares,
    fractional_pairs,
    likely_pairs,
    nearest_pairs,
)
from catalog.matching.solver.near_squares import NEVER, NearPairs, NearSquares, pairs_within
from catalog.matching.solver.nested_blossoms import EXPOSED, NestedBlossoms
from catalog.matching.solver.whole_costs import WholeCosts

Ints = NDArray[np.int64]

NEAREST_TRIED: Final = 10
"""Neighbours of each square that the fractional pairing begins with."""
REACHED: Final = 0.8
"""Share of these that the exact search looks at first, those that cost least beyond prices."""
MAX_ALL_NEAR: Final = 32
"""Pairs that may be, both ways, for each square up to which all are looked at from the start: where
squares too far apart may not be a pair, rows that are widened one by one took longer."""
MAX_ROUNDS: Final = 5
"""Times that pairs are taken in which prices exceed, each time from further around, before all
pairs are; measured on 1,000 random colours: none, where squares are left over 1 to 3."""


class PairSearch:
    """The search for the cheapest pairs.

    Parameters
    ----------
    costs : WholeCosts
    wanted : int
        Pairs; where there can't be so many, the most are found.
    """

    def __init__(self, costs: WholeCosts, wanted: int) -> None:
        self.costs, self.n = costs, costs.n
        self.spares = costs.n - 2 * wanted
        self.likely = likely_pairs(costs, *nearest_pairs(costs, NEAREST_TRIED))
        self.spare = self.most = 2 * (costs.most + 1)
        """Price of a square that stays spare."""
        self.margin = 0
        """Squares more than wanted that the fractional pairing leaves spare."""
        self.few = costs.allowed <= MAX_ALL_NEAR * costs.n
        """Whether all pairs that may be are looked at from the start."""
        self.asked_fewest = False
        self.rounds = 0
        """Times that prices that were found exceeded a pair."""

    def run(self) -> tuple[Ints, Certificate]:
        """Return the pairs, (k, 2), the smaller first, and their proof."""
        trees = self._begun()
        own = np.arange(self.n)
        while True:
            while not self._paired(trees):
                self.margin = max(2 * self.margin, 2)
                trees = self._begun()
            partner = np.array(trees.nodes.partner)
            pairs = np.stack([own, partner], axis=1)[own < partner]
            prices = PairPrices.of(trees.nodes, trees.price, self.spare)
            proof = certify(self.costs, pairs, prices)
            if not len(proof.exceeded.i):
                return pairs, proof
            self.rounds += 1
            trees = self._trees_at(prices.without_groups(), partner)

    def _paired(self, trees: AlternatingTrees) -> bool:
        """Pair all squares but those to be left spare; False where too few are."""
        partner = trees.nodes.partner
        for square in range(self.n):
            if partner[square] == EXPOSED:
                trees.pair_up(square, self.spare)
        more = True
        while True:
            left = [square for square in range(self.n) if partner[square] == square]
            if left:
                self.spare = max(trees.price[square] for square in left)
            if len(left) > self.spares and not self.asked_fewest:
                self.asked_fewest = True
                self.spares = max(self.spares, fewest_spares(self.costs))
            if len(left) <= self.spares or not more:
                return len(left) >= self.spares
            more = trees.pair_two_spares(left)

    def _begun(self) -> AlternatingTrees:
        """Return the fractional pairing, its odd rounds opened."""
        self.spare = self._spare_price()
        for _ in range(MAX_ROUNDS):
            partner, price = fractional_pairs(self.likely, self.spare)
            found = self._near(price)
            exceeded = found.some(found.excess < 0)
            if not len(exceeded.i):
                break
            self._take_in(exceeded)
        return self._trees_at(price, np.array(_paired_in_rounds(partner.tolist())), found)

    def _spare_price(self) -> int:
        """Return a price at which about as many squares stay spare as are to be left."""
        partner, price = fractional_pairs(self.likely, self.most)
        own = np.arange(self.n)
        wanted = self.spares + self.margin
        if wanted <= 0 or np.count_nonzero(partner == own) >= wanted:
            return self.most
        low, high = -1, int(price.max())
        tried = (
            int(np.partition(price, self.n - wanted)[self.n - wanted]) if wanted < self.n else low
        )
        while high - low > 1:
            tried = min(max(tried, low + 1), high - 1)
            partner, _ = fractional_pairs(self.likely, tried)
            over = np.count_nonzero(partner == own) - wanted
            if over < 0:
                high = tried
            else:
                low = tried
                if over <= 2 + wanted // 32:
                    break
            tried = (low + high) // 2
        return low

    def _near(self, price: Ints) -> NearPairs:
        """Return near pairs by some prices, and all that cost less."""
        likely = self.likely
        excess = likely.cost - price[likely.i] - price[likely.j]
        excess = np.sort(excess[likely.i != likely.j])
        self.reach = max(int(excess[int(REACHED * len(excess))]), 1) if len(excess) else 1
        self.reach *= FURTHER**self.rounds
        if self.few or self.rounds >= MAX_ROUNDS:
            self.reach = NEVER
        return pairs_within(self.costs, price, self.reach)

    def _take_in(self, found: NearPairs) -> None:
        two = self.likely.i != self.likely.j
        i = np.concatenate([self.likely.i[two], found.i])
        j = np.concatenate([self.likely.j[two], found.j])
        self.likely = likely_pairs(self.costs, i, j)

    def _trees_at(
        self, price: Ints, partner: Ints, found: NearPairs | None = None
    ) -> AlternatingTrees:
        """Lower prices until they hold for all pairs; who pays less then is exposed."""
        found = found or self._near(price)
        over = np.zeros(self.n, np.int64)
        np.maximum.at(over, found.i, -found.excess)
        price = price - over
        found = NearPairs(found.i, found.j, found.excess + over[found.i] + over[found.j])
        own = np.arange(self.n)
        paired = np.flatnonzero((partner != own) & (partner != EXPOSED))
        cost = self.costs.of(paired, partner[paired])
        excess = self.spare - price
        excess[paired] = cost - price[paired] - price[partner[paired]]
        partner = np.where(excess > ROUNDING, EXPOSED, partner)
        near = NearSquares(self.costs, price, found, self.reach)
        nodes = NestedBlossoms(partner.tolist())
        return AlternatingTrees(nodes, price.tolist(), near, self.reach)


def _paired_in_rounds(partner: list[int]) -> list[int]:
    """Return the pairs of a fractional pairing, a square of each odd round exposed."""
    paired = [EXPOSED] * len(partner)
    seen = [False] * len(partner)
    for start in range(len(partner)):
        ring = []
        square = start
        while not seen[square]:
            seen[square] = True
            ring.append(square)
            square = partner[square]
        if len(ring) == 1:
            paired[start] = start
        for k in range(len(ring) % 2, len(ring) - 1, 2):
            paired[ring[k]], paired[ring[k + 1]] = ring[k + 1], ring[k]
    return paired
