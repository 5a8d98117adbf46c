"""Which pairs every best pairing has, so that few are left among which ties are to be settled.

An odd group of squares whose price isn't 0 has one square in all that isn't paired inside, in every
pairing that costs no more (see `certificate`). So groups count as one square each until it is known
by which of theirs they are paired; then the same is asked inside. A square that can't stay spare
and has but one pair left has that one, its partner's others go, and so on.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from catalog.matching.solver.certificate import Certificate
from catalog.matching.solver.near_squares import NearPairs

Ints = NDArray[np.int64]
Edge = tuple[int, int, int, int]
"""Two nodes (squares, or groups), and the squares of theirs that are a pair."""


def forced_pairs(proof: Certificate, doubt: NearPairs) -> tuple[Ints, NearPairs]:
    """Return the pairs that are forced, (m, 2), and those that are open beside them.

    Parameters
    ----------
    proof : Certificate
    doubt : NearPairs
        The pairs, the smaller first, that a best pairing may have.
    """
    groups = _Groups(proof, doubt)
    groups.run()
    squares = groups.open_squares()
    return np.array(groups.forced, np.int64).reshape(-1, 2), doubt.some(
        squares[doubt.i] & squares[doubt.j]
    )


class _Groups:
    """One run of `forced_pairs`."""

    def __init__(self, proof: Certificate, doubt: NearPairs) -> None:
        self.n = len(proof.may_be_spare)
        self.around = proof.prices.heavy_groups(proof.gap)
        """Of each node the group around it, or -1."""
        self.edges = self._by_group(doubt)
        self.may_be_spare = proof.may_be_spare
        self.spare_in: dict[int, list[int]] = defaultdict(list)
        """By node that no group is around, its squares that may be spare."""
        for square in np.flatnonzero(proof.may_be_spare).tolist():
            self.spare_in[self._kid(square, -1)].append(square)
        self.forced: list[tuple[int, int]] = []
        self.open: list[int] = []
        """Nodes of which it is open how they are paired."""
        self.entered: list[tuple[int, int]] = []
        """Nodes, each with the square by which it is paired."""

    def run(self) -> None:
        """Go from the outside in."""
        settled = self._peel(self.edges[-1], self.spare_in)
        for node, squares in self.spare_in.items():
            if node not in settled and len(squares) == 1:
                self.entered.append((node, squares[0]))
            elif node not in settled:
                self.open.append(node)
        while self.entered:
            node, square = self.entered.pop()
            if node >= self.n:
                out = self._kid(square, node)
                self.entered.append((out, square))
                self._peel([edge for edge in self.edges[node] if out not in edge[:2]], ())

    def open_squares(self) -> NDArray[np.bool_]:
        """Return which squares are in nodes that are open, (n,)."""
        is_open = np.zeros(len(self.around), bool)
        is_open[self.open] = True
        for node in range(len(self.around) - 1, -1, -1):
            if self.around[node] >= 0:
                is_open[node] |= is_open[self.around[node]]
        return is_open[: self.n]

    def _kid(self, square: int, group: int) -> int:
        """Return the node just inside a group, or in none, that holds a square."""
        node = square
        while self.around[node] != group:
            node = int(self.around[node])
        return node

    def _by_group(self, doubt: NearPairs) -> dict[int, list[Edge]]:
        """Return pairs by the innermost group that both squares are in, or -1."""
        last = len(self.around)
        around = np.where(self.around < 0, last, self.around)
        one, two = doubt.i.copy(), doubt.j.copy()
        going = np.flatnonzero(around[one] != around[two])
        while len(going):
            a, b = around[one[going]], around[two[going]]
            one[going] = np.where(a < b, a, one[going])  # what lies further in has the smaller one
            two[going] = np.where(b < a, b, two[going])
            going = going[around[one[going]] != around[two[going]]]
        found: dict[int, list[Edge]] = defaultdict(list)
        rows = zip(*(each.tolist() for each in (one, two, doubt.i, doubt.j)), strict=True)
        for edge in rows:
            found[int(self.around[edge[0]])].append(edge)
        return found

    def _peel(self, edges: Sequence[Edge], may_be_spare: Iterable[int]) -> set[int]:
        """Force what can be among nodes of one group; return those that have pairs or are open."""
        at: dict[int, set[Edge]] = defaultdict(set)
        for edge in edges:
            at[edge[0]].add(edge)
            at[edge[1]].add(edge)
        free = set(may_be_spare)
        waiting = [node for node, own in at.items() if len(own) == 1 and node not in free]
        settled: set[int] = set()
        while waiting:
            node = waiting.pop()
            if len(at[node]) != 1:
                continue
            (edge,) = at[node]
            one, two, a, b = edge
            self.forced.append((a, b))
            self.entered += [(one, a), (two, b)]
            settled |= {one, two}
            for other in at.pop(two if node == one else one):
                for end in other[:2]:
                    if end in at:
                        at[end].discard(other)
                        if len(at[end]) == 1 and end not in free:
                            waiting.append(end)
            at[node].clear()
        left = {node for node, own in at.items() if own}
        self.open += left
        return settled | left
