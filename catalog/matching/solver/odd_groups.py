"""Odd groups of squares in which a fractional pairing takes more pairs than there can be."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.linear_programs import TOLERANCE

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

MAX_GROWTH_STEPS = 3
"""Times a broken odd group is also grown by a pair (measured: halves the rounds)."""
REACHES = (0.0, 0.1, 0.2, 0.4, 0.8, 1.6, 3.2, 6.4)
"""CIEDE2000 of excess up to which columns hold a cluster together."""


@dataclass(frozen=True, eq=False)
class Shares:
    """How much of each pair a fractional pairing takes."""

    i: Ints
    """(m,) and ``j``: the pairs' ends."""
    j: Ints
    share: Floats
    """(m,) from 0 to 1."""
    squares: int

    def broken(self, part: Bools) -> list[Ints]:
        """Return the groups that some of the pairs connect and that hold more than their share."""
        from scipy.sparse import csr_array
        from scipy.sparse.csgraph import connected_components

        i, j = self.i[part], self.j[part]
        graph = csr_array((np.ones(len(i)), (i, j)), shape=(self.squares, self.squares))
        _, of = connected_components(graph, directed=False)
        sizes = np.bincount(of)
        within = of[self.i] == of[self.j]
        inside = np.bincount(of[self.i[within]], self.share[within], minlength=len(sizes))
        broken = (sizes > 1) & (sizes % 2 == 1) & (inside > (sizes - 1) / 2 + 1e-6)
        return [np.nonzero(of == each)[0] for each in np.nonzero(broken)[0]]

    def grown(self, group: Ints, excess: Floats) -> list[Ints]:
        """Return a group, and it with the whole pairs that lie nearest by price."""
        groups = [group]
        whole = self.share > 1.0 - TOLERANCE
        i, j = self.i[whole], self.j[whole]
        while len(groups) <= MAX_GROWTH_STEPS and len(i):
            near = excess[groups[-1]].min(axis=0)
            near[groups[-1]] = np.inf
            at = int((near[i] + near[j]).argmin())
            if not np.isfinite(near[i[at]] + near[j[at]]):
                break
            groups.append(np.sort(np.append(groups[-1], [i[at], j[at]])))
        return groups


def broken_groups(shares: Shares, excess: Floats) -> list[Ints]:
    """Return odd groups that a fractional pairing breaks, some of them twice.

    Looked for among the squares that shared columns hold together, and those that columns of
    little excess do: the second are the whole clusters of odd size that the first would grow to
    over many rounds.

    Parameters
    ----------
    shares : Shares
    excess : array of float, shape (n, n)
        Cost less prices of all pairs.
    """
    part = (shares.share > TOLERANCE) & (shares.share < 1.0 - TOLERANCE)
    found = [each for group in shares.broken(part) for each in shares.grown(group, excess)]
    over = excess[shares.i, shares.j]
    for reach in REACHES:
        found += shares.broken((over <= reach) | (shares.share > TOLERANCE))
    return found
