"""Cuts: what no choice of whole sets can go over though fractions of sets do.

Each square is in one set at most. Add that up over some squares, divide by 2, 3 or 4 and round
down, for each set and in all: of sets that hold 2 of 3 squares there is at most one, of threes
inside 10 squares at most three. These are Chvátal's cuts with equal multipliers
(Chvátal 1973, "Edmonds polytopes and a hierarchy of combinatorial problems"); those over 3 squares
are known as subset rows (Jepsen, Petersen, Spoorendonk, Pisinger 2008). Sources named from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.linear_programs import Floats

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

MAX_CUTS: Final = 200
"""Added in a round."""
MIN_EXCESS: Final = 0.01
"""By which fractions of sets must go over a cut that is added."""
GROWN_BY: Final = 14
"""Squares at most that a cut grows by from the set it starts at."""
MAX_STARTS: Final = 300
"""Three squares each, that a cut grows from."""
EPSILON: Final = 1e-6


@dataclass(frozen=True, order=True)
class Cut:
    """Sets, each counted as often as it holds so many of some squares, are limited."""

    part: int
    """2 or more: how many of the squares count a set once."""
    squares: tuple[int, ...]

    @property
    def most(self) -> int:
        """How many sets there may be."""
        return len(self.squares) // self.part


@dataclass(frozen=True, eq=False)
class CutPrices:
    """Cuts that are in force, and what a set pays for each time that it counts."""

    part: Ints
    """(c,)."""
    inside: Bools
    """(c, n + 1) the squares of each; the last stands for none."""
    price: Floats
    """(c,) above 0."""
    cuts: tuple[Cut, ...]

    @classmethod
    def of(cls, cuts: Sequence[Cut], prices: Floats, n: int) -> CutPrices:
        """Return those cuts whose price isn't 0."""
        held = [cut for cut, price in zip(cuts, prices, strict=True) if price > 0.0]
        inside = np.zeros((len(held), n + 1), bool)
        for at, cut in enumerate(held):
            inside[at, list(cut.squares)] = True
        part = np.array([cut.part for cut in held], np.int64)
        return cls(part, inside, prices[prices > 0.0], tuple(held))

    def among(self, where: Ints) -> CutPrices:
        """Return the same for some squares only, numbered anew."""
        inside = np.column_stack([self.inside[:, where], np.zeros(len(self.part), bool)])
        return replace(self, inside=inside)

    def paid_by(self, members: Ints) -> Floats:
        """Return what sets, one in each row, pay."""
        paid = np.zeros(len(members))
        for part, inside, price in zip(self.part, self.inside, self.price, strict=True):
            paid += price * (inside[members].sum(axis=1) // part)
        return paid

    def pair_share(self, size: int) -> Floats:
        """Return what each pair pays at least, so that no set's pairs pay more than the set.

        Of t squares inside a cut a set counts t // part times. A quadratic function of t below
        that for all t up to ``size`` is a sum over the pairs.
        """
        # As a * t * (t - c); the pairs inside bring 2 a each, and the squares a (1 - c).
        touch = self.part <= size
        part, inside, price = self.part[touch], self.inside[touch, :-1], self.price[touch]
        steep = np.where(part == size, 1.0 / part, np.where(part == 2, 1 / 6, 1 / 8))
        zero = np.where(part == size, size - 1, part - 1)
        each = (price * steep * (1 - zero) / (size - 1)) @ inside
        both = (inside * (2.0 * price * steep)[:, None]).T @ inside.astype(float)
        share: Floats = both + each[:, None] + each[None, :]
        return share


def counts(cuts: Sequence[Cut], members: Ints, n: int) -> Ints:
    """Return (sets, cuts) how often each set counts; members of n stand for none."""
    found = np.zeros((len(members), len(cuts)), np.int64)
    for at, cut in enumerate(cuts):
        inside = np.zeros(n + 1, bool)
        inside[list(cut.squares)] = True
        found[:, at] = inside[members].sum(axis=1) // cut.part
    return found


def violated(members: Ints, taken: Floats, n: int, known: set[Cut]) -> list[Cut]:
    """Return cuts that fractions of sets go over, those first that they go over most.

    Parameters
    ----------
    members : array of int, shape (m, size)
        The sets of which a fraction is taken; n stands for none.
    taken : array of float, shape (m,)
        How much of each, between 0 and 1.
    n : int
        Squares.
    known : set of Cut
        Cuts that there are already.
    """
    if not len(members):
        return []
    squares = np.unique(members[members < n])
    place = np.full(n + 1, len(squares))
    place[squares] = np.arange(len(squares))
    holds = np.zeros((len(members), len(squares) + 1))
    holds[np.arange(len(members))[:, None], place[members]] = 1.0
    search = _Search(holds[:, :-1], taken, squares, members.shape[1])
    together = search.together()
    groups = search.look(_threes(together))
    groups = np.unique(np.concatenate([search.holds, groups[:MAX_STARTS]]), axis=0)
    for _ in range(GROWN_BY):
        search.look(groups)
        groups = search.grown(groups)
        if not len(groups):
            break
    search.look(_connected(together))
    fresh = (cut for cut in search.found if cut not in known)
    return sorted(fresh, key=lambda cut: (-round(search.found[cut], 6), cut))[:MAX_CUTS]


class _Search:
    """Groups of squares tried, and the cuts found by them."""

    def __init__(self, holds: Floats, taken: Floats, squares: Ints, largest: int) -> None:
        self.holds, self.taken, self.squares, self.largest = holds, taken, squares, largest
        self.held_by = holds.T.astype(np.float32)
        """Whole numbers are exact in it, and half the work."""
        self.found: dict[Cut, float] = {}
        """Each with its excess; over more squares it is worth less."""

    def together(self) -> Floats:
        """Return how much of sets each two squares have in common, (s, s)."""
        both: Floats = self.holds.T @ (self.holds * self.taken[:, None])
        np.fill_diagonal(both, 0.0)
        return both

    def _inside(self, groups: Floats) -> NDArray[np.float32]:
        """Return how many squares of each group each set holds."""
        inside: NDArray[np.float32] = groups.astype(np.float32) @ self.held_by
        return inside

    def look(self, groups: Floats) -> Floats:
        """Keep the cuts that groups of squares, one in each row, give; return the groups."""
        inside, size = self._inside(groups), groups.sum(axis=1)
        for part in range(2, self.largest + 1):
            excess = (inside // part) @ self.taken - size // part
            for at in np.flatnonzero(excess > MIN_EXCESS).tolist():
                squares = self.squares[groups[at] > 0].tolist()
                self.found[Cut(part, tuple(squares))] = float(excess[at] / np.sqrt(size[at]))
        return groups

    def grown(self, groups: Floats) -> Floats:
        """Return groups with one square more each, from the sets that they hold most of."""
        inside = self._inside(groups)
        # What the square of the number held grows by: sets nearly complete come first.
        gain = ((inside > 0) * self.taken * (2 * inside + 1)) @ self.holds
        gain[groups > 0] = -1.0
        next_one = np.round(gain, 9).argmax(axis=1)
        goes = gain[np.arange(len(groups)), next_one] > 0
        groups, next_one = groups[goes], next_one[goes]
        groups[np.arange(len(groups)), next_one] = 1.0
        return np.unique(groups, axis=0)


def _threes(together: Floats) -> Floats:
    """Return the groups of three squares that more than one set in all have two of."""
    found = []
    for middle, row in enumerate(together):
        near = np.flatnonzero(row > EPSILON)
        a, b = (near[side] for side in np.triu_indices(len(near), 1))
        rich = row[a] + row[b] + together[a, b] > 1.0 + MIN_EXCESS
        found.append(np.column_stack([a[rich], np.full(int(rich.sum()), middle), b[rich]]))
    threes = np.unique(np.sort(np.concatenate(found), axis=1), axis=0)
    groups = np.zeros((len(threes), len(together)))
    groups[np.arange(len(threes))[:, None], threes] = 1.0
    return groups


def _connected(together: Floats) -> Floats:
    """Return the groups of squares that fractions of sets tie together."""
    from scipy.sparse import csr_array
    from scipy.sparse.csgraph import connected_components

    tied = csr_array((together > EPSILON).astype(float))
    many, group = connected_components(tied, directed=False)
    groups = np.zeros((many, len(together)))
    groups[group, np.arange(len(together))] = 1.0
    return groups
