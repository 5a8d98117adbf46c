"""The sets of a bundle that stand, as frozen values."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field


@dataclass(frozen=True)
class StandingSet:
    """A set that was chosen, and stays until better ones are asked for."""

    number: int
    """For its life; no other set of the bundle ever gets it."""
    squares: tuple[int, ...]
    """Numbers in the catalogue."""
    since: int
    """The bundle's version by which it was chosen; 0 for the first choice."""
    seen: int
    """The bundle's version by which it was last written down."""


@dataclass(frozen=True)
class Standing:
    """What was chosen of a bundle, and the numbers that were given."""

    sets: tuple[StandingSet, ...] = ()
    """Those that stand. One whose squares aren't free, or are kept apart, waits: it is a set again
    when they are free again, if no other set has got them meanwhile."""
    known: Mapping[frozenset[int], tuple[int, ...]] = field(default_factory=dict)
    """By squares, the numbers of sets that there ever were of them."""
    next_number: int = 1
    """Which none has had yet."""
    chosen: bool = False
    """Whether anything was ever chosen; else all is open, and sets are counted from 1."""

    def numbered(self, sets: Iterable[Sequence[int]]) -> list[int]:
        """Return the numbers of sets: those that they had, and new ones, counted on.

        Parameters
        ----------
        sets : iterable of sequence of int
            Numbers of squares.
        """
        left = {squares: list(numbers) for squares, numbers in self.known.items()}
        fresh, found = self.next_number, []
        for squares in sets:
            had = left.get(frozenset(squares))
            if had:
                found.append(had.pop(0))
            else:
                found.append(fresh)
                fresh += 1
        return found
