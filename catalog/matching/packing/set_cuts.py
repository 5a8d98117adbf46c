"""Cuts: what no choice of whole sets can go over though fractions of sets do.

Each square is in one set at most. Add that up over some squares, divide by 2, 3 or 4 and round
down, for each set and in all: of sets that hold 2 of 3 squares there is at most one, of threes
inside 10 squares at most three. These are Chvátal's cuts with equal multipliers
(Chvátal 1973, "Edmonds polytopes and a hierarchy of combinatorial problems"); those over 3 squares
are known as subset rows (Jepsen, Petersen, Spoorendonk, Pisinger 2008). Sources named from memory.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from catalog.linear_programs import Floats

if TYPE_CHECKING:
    from scipy.sparse import csr_array

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
"""Of a set that more than that is taken of, and as much less than 1, a fraction is taken."""
CHUNK: Final = 1_000_000
"""Sets times cuts that are counted in one go, some MB."""


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
        for some, found in _counted(self.inside, self.part, members):
            paid[some] = found @ self.price
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
    inside = np.zeros((len(cuts), n + 1), bool)
    for at, cut in enumerate(cuts):
        inside[at, list(cut.squares)] = True
    part = np.array([cut.part for cut in cuts], np.int64)
    every = np.zeros((len(members), len(cuts)), np.int64)
    for some, found in _counted(inside, part, members):
        every[some] = found
    return every


def _counted(inside: Bools, part: Ints, members: Ints) -> Iterator[tuple[slice, NDArray[np.int8]]]:
    """Yield some sets at a time and how often they count, (sets, cuts)."""
    held_by = np.ascontiguousarray(inside.T).astype(np.int8)
    step = max(CHUNK // max(len(part), 1), 1)
    for at in range(0, len(members), step):
        some = slice(at, at + step)
        held = held_by[members[some]].sum(axis=1, dtype=np.int8)
        yield some, held // part.astype(np.int8)


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
    from scipy.sparse import csr_array

    if not len(members):
        return []
    squares = np.unique(members[members < n])
    row, column = np.nonzero(members < n)
    place = np.searchsorted(squares, members[row, column])
    holds = csr_array((np.ones(len(row)), (row, place)), shape=(len(members), len(squares)))
    search = _Search(holds, taken, squares, members.shape[1])
    together = search.together()
    threes = _threes(together)
    search.look(threes)
    groups = _different(np.concatenate([holds.toarray() > 0, threes[:MAX_STARTS]]))
    for _ in range(GROWN_BY):
        groups = search.grown(groups, search.look(groups))
        if not len(groups):
            break
    search.look(_connected(together))
    fresh = (cut for cut in search.found if cut not in known)
    return sorted(fresh, key=lambda cut: (-round(search.found[cut], 6), cut))[:MAX_CUTS]


class _Search:
    """Groups of squares tried, and the cuts found by them."""

    def __init__(self, holds: csr_array, taken: Floats, squares: Ints, largest: int) -> None:
        self.holds, self.taken, self.squares, self.largest = holds, taken, squares, largest
        self.found: dict[Cut, float] = {}
        """Each with its excess; over more squares it is worth less."""

    def together(self) -> Floats:
        """Return how much of sets each two squares have in common, (s, s)."""
        both: Floats = (self.holds.T @ self.holds.multiply(self.taken[:, None])).toarray()
        np.fill_diagonal(both, 0.0)
        return both

    def look(self, groups: Bools) -> Ints:
        """Keep the cuts that groups of squares, one in each row, give.

        Return how many squares of each group each set holds.
        """
        inside: Ints = (self.holds @ groups.T).T.astype(np.int64)
        size, held = groups.sum(axis=1), np.arange(self.largest + 1)
        for part in range(2, self.largest + 1):
            excess = (held // part).astype(float)[inside] @ self.taken - size // part
            for at in np.flatnonzero(excess > MIN_EXCESS).tolist():
                squares = self.squares[groups[at]].tolist()
                self.found[Cut(part, tuple(squares))] = float(excess[at] / np.sqrt(size[at]))
        return inside

    def grown(self, groups: Bools, inside: Ints) -> Bools:
        """Return groups with one square more each, from the sets that they hold most of."""
        # What the square of the number held grows by: sets nearly complete come first.
        more = (inside > 0) * self.taken * (2 * inside + 1)
        gain = (self.holds.T @ more.T).T
        gain[groups] = -1.0
        next_one = np.round(gain, 9).argmax(axis=1)
        goes = gain[np.arange(len(groups)), next_one] > 0
        groups, next_one = groups[goes], next_one[goes]
        groups[np.arange(len(groups)), next_one] = True
        return _different(groups)


def _different(groups: Bools) -> Bools:
    """Return each group once."""
    _, first = np.unique(np.packbits(groups, axis=1), axis=0, return_index=True)
    return groups[first]


def _threes(together: Floats) -> Bools:
    """Return the groups of three squares that more than one set in all have two of."""
    found = []
    for middle, row in enumerate(together):
        near = np.flatnonzero(row > EPSILON)
        a, b = (near[side] for side in np.triu_indices(len(near), 1))
        rich = row[a] + row[b] + together[a, b] > 1.0 + MIN_EXCESS
        found.append(np.column_stack([a[rich], np.full(int(rich.sum()), middle), b[rich]]))
    threes = np.unique(np.sort(np.concatenate(found), axis=1), axis=0)
    groups = np.zeros((len(threes), len(together)), bool)
    groups[np.arange(len(threes))[:, None], threes] = True
    return groups


def _connected(together: Floats) -> Bools:
    """Return the groups of squares that fractions of sets tie together."""
    from scipy.sparse import csr_array
    from scipy.sparse.csgraph import connected_components

    tied = csr_array((together > EPSILON).astype(float))
    many, group = connected_components(tied, directed=False)
    groups = np.zeros((many, len(together)), bool)
    groups[group, np.arange(len(together))] = True
    return groups
