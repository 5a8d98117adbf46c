"""What a person says of sets: those that stay, those that are not to be, swapped squares."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING, Self

from catalog.catalogue.events.event_base import Event, several
from catalog.catalogue.events.event_fields import Pairs, Sets, SquareNumber, Squares
from catalog.errors import CatalogueError

if TYPE_CHECKING:
    from catalog.catalogue.events.event_words import Names
    from catalog.catalogue.events.projection import Projection


class LockedSets(Event, frozen=True, tag="lock"):
    """These are sets, and stay sets."""

    sets: Sets
    says = "{sets} stays a set|{sets} stay sets"

    def apply(self, now: Projection) -> None:
        now.lock(self.sets)


class UnlockedSets(Event, frozen=True, tag="unlock"):
    """Sets with these need not stay together."""

    squares: Squares

    def apply(self, now: Projection) -> None:
        now.locks = [lock for lock in now.locks if not set(lock) & set(self.squares)]

    def words(self, names: Names) -> str:
        return f"{names.one_set(self.squares)} need not stay a set"


class ForbiddenPairs(Event, frozen=True, tag="forbid"):
    """Two squares each that must not be in one set."""

    pairs: Pairs
    says = "{pairs} never in one set"

    def apply(self, now: Projection) -> None:
        now.forbid(self.pairs)


class AllowedPairs(Event, frozen=True, tag="allow"):
    """Two squares each that may be in one set again."""

    pairs: Pairs
    says = "{pairs} may be in one set again"

    def apply(self, now: Projection) -> None:
        now.forbidden -= {ordered(a, b) for a, b in self.pairs}


class SetTakenApart(Event, frozen=True, tag="take apart"):
    """A set that is not to be: no two of its squares may be together."""

    squares: Squares
    pairs: Pairs

    @classmethod
    def of(cls, squares: Squares) -> Self:
        found = several(squares)
        return cls(found, tuple(combinations(found, 2)))

    def apply(self, now: Projection) -> None:
        now.forbid(self.pairs)

    def words(self, names: Names) -> str:
        return f"the set {names.one_set(self.squares)} taken apart"


class SwappedSquares(Event, frozen=True, tag="swap"):
    """Two squares of two sets change places, and both sets stay."""

    sets: Sets
    squares: Squares
    says = "{squares} changed places between two sets: now {sets}"

    @classmethod
    def of(cls, first: Squares, second: Squares, a: SquareNumber, b: SquareNumber) -> Self:
        """Say that square ``a`` of the first set and ``b`` of the second change places.

        Raises
        ------
        CatalogueError
            They are not in two sets.
        """
        if a not in first or b not in second or a in second:
            raise CatalogueError(
                "these two are not in two sets", "name one square of each of two sets"
            )
        new = {a: b, b: a}
        return cls(tuple(tuple(new.get(s, s) for s in one) for one in (first, second)), (a, b))

    def apply(self, now: Projection) -> None:
        now.lock(self.sets)


def ordered(a: int, b: int) -> tuple[int, int]:
    """Return two squares, the lower number first."""
    return (a, b) if a < b else (b, a)
