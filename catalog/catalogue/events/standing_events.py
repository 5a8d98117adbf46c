"""Which sets stand: what was chosen is written down, so that it stays until a person asks anew.

A choice (`PairedSets`) is no event of a person's, so no history lists it. It is written when sets
are first shown, and after every change that pairs squares anew: only the new sets, each with its
number. One that followed from events holds as long as they do, so undoing gives back the sets that
there were.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from msgspec import UNSET, UnsetType

from catalog.catalogue.events.event_base import Event
from catalog.catalogue.events.event_fields import Squares, Whole
from catalog.catalogue.standing.standing_records import Standing, StandingSet

if TYPE_CHECKING:
    from catalog.catalogue.events.event_words import Names
    from catalog.catalogue.events.projection import Projection
    from catalog.catalogue.records import RecordedEvent

After = Literal["shown", "done", "undone"]
"""What a choice followed from: nothing that a person did, events, or events taken back."""


class PairedSets(Event, frozen=True, tag="paired sets"):
    """Sets that were paired, each with the number that it keeps."""

    sets: tuple[tuple[Whole, ...], ...]
    numbers: tuple[Whole, ...]
    """As many as sets."""
    after: After = "shown"
    says = "{sets} chosen|{sets} chosen"

    def apply(self, now: Projection) -> None:
        """Change nothing of what a person said."""

    def holds(self, made: int, events: Iterable[RecordedEvent]) -> bool:
        """Tell whether what it followed from still holds.

        Parameters
        ----------
        made : int
            The bundle's version that it was chosen for.
        events : iterable of RecordedEvent
            All of the bundle's.
        """
        if self.after == "done":
            return any(one.made == made and not one.undone for one in events)
        return self.after == "shown" or any(one.undone == made for one in events)


class SetsChosenAnew(Event, frozen=True, tag="choose anew"):
    """Better sets are asked for: those that stand are let go, but for locked ones."""

    squares: Squares | UnsetType = UNSET
    """Only the sets with these, if not all."""
    from_one: bool = False
    """Whether all sets are numbered from 1 again."""

    def apply(self, now: Projection) -> None:
        now.asked_anew += 1

    def words(self, names: Names) -> str:
        if isinstance(self.squares, UnsetType):
            return "sets chosen anew" + (", numbered from 1" if self.from_one else "")
        return f"sets with {names.squares(self.squares)} chosen anew"


def standing_of(
    choices: Sequence[RecordedEvent],
    events: Sequence[RecordedEvent],
    stand_in: Callable[[int], int],
) -> Standing:
    """Return which sets stand after choices and events.

    Parameters
    ----------
    choices : sequence of RecordedEvent
        Of `PairedSets`, in the order in which they were made.
    events : sequence of RecordedEvent
        All that a person did, those undone too.
    stand_in : callable
        From a square's number to that of the one that stands for its piece of cloth.
    """
    asked = [one for one in events
             if not one.undone and isinstance(one.event, SetsChosenAnew)]  # fmt: skip
    course = sorted((*asked, *choices), key=lambda one: one.made)  # what was asked stays before
    sets: dict[int, StandingSet] = {}
    known: dict[frozenset[int], tuple[int, ...]] = {}
    highest = 0
    for one in course:
        match one.event:
            case SetsChosenAnew(squares=squares, from_one=from_one):
                free = _let_go(sets, squares)
                sets = {number: each for number, each in sets.items() if number not in free}
                known, highest = ({}, 0) if from_one and not sets else (known, highest)
            case PairedSets():
                fresh = _fresh(one, stand_in, first=one is choices[0])
                highest = max([highest, *(each.number for each in fresh)])
                if one.event.holds(one.made, events):
                    _put(sets, known, fresh)
    return Standing(tuple(sets.values()), known, highest + 1, chosen=bool(choices))


def _let_go(sets: dict[int, StandingSet], squares: Squares | UnsetType) -> set[int]:
    """Return the numbers of the sets that are let go."""
    if isinstance(squares, UnsetType):
        return set(sets)
    meant = set(squares)
    return {number for number, one in sets.items() if meant & set(one.squares)}


def _fresh(one: RecordedEvent, stand_in: Callable[[int], int], *, first: bool) -> list[StandingSet]:
    event = one.event
    assert isinstance(event, PairedSets)
    found = []
    for number, squares in zip(event.numbers, event.sets, strict=False):
        meant = tuple(dict.fromkeys(map(stand_in, squares)))
        if len(meant) > 1:
            found.append(StandingSet(number, meant, 0 if first else one.made, one.made))
    return found


def _put(
    sets: dict[int, StandingSet],
    known: dict[frozenset[int], tuple[int, ...]],
    fresh: Sequence[StandingSet],
) -> None:
    """Let sets stand; earlier ones that share a square with them stand no longer."""
    before = {one.number: one for one in sets.values()}
    taken = {square for one in fresh for square in one.squares}
    for number in [number for number, one in sets.items() if taken & set(one.squares)]:
        del sets[number]
    for one in fresh:
        key = frozenset(one.squares)
        known[key] = tuple(dict.fromkeys((*known.get(key, ()), one.number)))
        same = one.number in before and frozenset(before[one.number].squares) == key
        sets[one.number] = replace(one, since=before[one.number].since) if same else one
