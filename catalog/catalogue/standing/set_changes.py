"""What a change does to a bundle's sets: those that go, those that come, and how much nearer."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from catalog.catalogue.bundle_count import count_kept, request_for
from catalog.catalogue.events.event_kinds import PairedSets, SetsChosenAnew
from catalog.catalogue.events.projection import replay
from catalog.catalogue.records import RecordedEvent, StoredBundle
from catalog.models import NOT_COUNTED

if TYPE_CHECKING:
    from catalog.count_results import Count
    from catalog.models import SquareSet

NEARER_BY: Final = 0.1
"""CIEDE2000 in all by which a choice has to be nearer to be called better: the last digit shown."""


@dataclass(frozen=True, eq=False)
class PairedBundle:
    """A bundle and its sets."""

    kept: StoredBundle
    count: Count

    def squares_of(self, one: SquareSet) -> tuple[int, ...]:
        """Return the numbers of a set's squares."""
        return tuple(self.kept.by_label[label].id for label in one.swatches)

    @property
    def known(self) -> Mapping[tuple[int, frozenset[int]], SquareSet]:
        """Its sets by number and squares."""
        return {(one.number, frozenset(self.squares_of(one))): one for one in self.count.sets}


@dataclass(frozen=True)
class SetsTotal:
    """What a bundle's sets come to."""

    sets: int
    counting: int
    """Those near enough to count."""
    total: float
    """CIEDE2000, the sets' differences added up."""
    counting_total: float
    worst: float

    def better_than(self, other: SetsTotal) -> bool:
        """Tell whether more sets count, or as many are nearer in all."""
        if self.counting != other.counting:
            return self.counting > other.counting
        if abs(self.counting_total - other.counting_total) >= NEARER_BY:
            return self.counting_total < other.counting_total
        return self.sets >= other.sets and self.total <= other.total - NEARER_BY


@dataclass(frozen=True, eq=False)
class SetsChange:
    """Sets before and after."""

    before: PairedBundle
    after: PairedBundle
    gone: tuple[SquareSet, ...]
    """Sets of ``before`` that are no more."""
    new: tuple[SquareSet, ...]
    """Sets of ``after`` that weren't."""
    left_alone: tuple[int, ...]
    """Squares that were in a set and are in none."""
    found_partner: tuple[int, ...]
    """Squares that were in none and are in a set."""


def paired(kept: StoredBundle) -> PairedBundle:
    """Return a bundle with its sets as they are now."""
    return PairedBundle(kept, count_kept(kept, request_for(kept), doubts=False))


def as_standing(one: PairedBundle) -> StoredBundle:
    """Return a bundle whose sets stand, though nobody wrote them down yet."""
    kept = one.kept
    if kept.state.standing.chosen:
        return kept
    sets = one.count.sets
    event = PairedSets(tuple(map(one.squares_of, sets)), tuple(each.number for each in sets))
    choices = (RecordedEvent(event, made=kept.version),)
    return replace(kept, choices=choices, state=replay(kept.seen, kept.events, choices))


def chosen_anew(kept: StoredBundle) -> StoredBundle:
    """Return a bundle as it would be if better sets were asked for."""
    asked = RecordedEvent(SetsChosenAnew(), made=kept.version + 1)
    events = (*kept.events, asked)
    return replace(
        kept,
        version=kept.version + 1,
        events=events,
        state=replay(kept.seen, events, kept.choices),
    )


def change_between(before: PairedBundle, after: PairedBundle) -> SetsChange:
    """Return how the sets of a bundle differ from what they were."""
    was, now = before.known, after.known
    in_sets = [{square for _, squares in known for square in squares} for known in (was, now)]
    return SetsChange(
        before,
        after,
        tuple(one for key, one in was.items() if key not in now),
        tuple(one for key, one in now.items() if key not in was),
        tuple(sorted(in_sets[0] - in_sets[1])),
        tuple(sorted(in_sets[1] - in_sets[0])),
    )


def better_choice(before: PairedBundle) -> SetsChange | None:
    """Return what choosing all sets anew would change; None where that gives no better ones."""
    after = paired(chosen_anew(as_standing(before)))
    if not total_of(after.count.sets).better_than(total_of(before.count.sets)):
        return None
    return change_between(before, after)


def total_of(sets: Sequence[SquareSet]) -> SetsTotal:
    """Return what sets come to."""
    counting = [one.difference for one in sets if counts(one)]
    every = [one.difference for one in sets]
    return SetsTotal(len(every), len(counting), sum(every), sum(counting), max(every, default=0.0))


def counts(one: SquareSet) -> bool:
    """Tell whether a set serves as one."""
    return NOT_COUNTED not in one.flags
