"""The sets of a bundle that stand: chosen once, kept, and paired anew only where they must be.

What stands is told by `catalog.catalogue.events.standing_events`; here it is worked out which sets
a bundle has by that, and what of them is to be written down.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from catalog.catalogue.bundle_count import free_swatches, request_for, rules_of, set_numbers
from catalog.catalogue.events.projection import replay
from catalog.catalogue.events.standing_events import After, PairedSets
from catalog.catalogue.records import RecordedEvent, StoredBundle
from catalog.catalogue.standing.standing_records import StandingSet

if TYPE_CHECKING:
    from catalog.models import SquareSet


def chosen_sets(kept: StoredBundle) -> tuple[StandingSet, ...]:
    """Return the sets of a bundle by its standing rules: those that stand, and what is paired anew.

    Each has the version since which it stands; one that isn't written down yet has the bundle's.
    """
    from catalog.matching.sets_for_needs import choose_sets  # slow to load, and few changes need it

    request = request_for(kept)
    matching = choose_sets(free_swatches(kept), request.needs, request.rules)
    return numbered_sets(kept, matching.sets)


def numbered_sets(kept: StoredBundle, sets: Sequence[SquareSet]) -> tuple[StandingSet, ...]:
    """Return matched sets with the numbers that they keep or get, as squares of the catalogue."""
    since = {one.number: one.since for one in kept.state.standing.sets}
    several = [one for one in sets if len(one.swatches) > 1]
    numbers = set_numbers(kept, several)
    return tuple(
        StandingSet(
            number := numbers.get(one.number, one.number),
            tuple(kept.by_label[label].id for label in one.swatches),
            since.get(number, kept.version),
            kept.version,
        )
        for one in several
    )


def paired_alike(before: StoredBundle, after: StoredBundle) -> bool:
    """Tell whether nothing changed that sets depend on, such as when a square is given a name."""
    return (
        before.state.standing == after.state.standing
        and rules_of(before) == rules_of(after)
        and free_swatches(before) == free_swatches(after)
    )


def fresh_choice(
    kept: StoredBundle,
    after: After,
    sets: Iterable[StandingSet] | None = None,
    *,
    whole: bool = False,
) -> RecordedEvent | None:
    """Return the choice that is to be written down so that a bundle's sets stay; None for nothing.

    Parameters
    ----------
    kept : StoredBundle
    after : {"shown", "done", "undone"}
        What it followed from; see `catalog.catalogue.events.standing_events`.
    sets : iterable of StandingSet, optional
        As `chosen_sets` gives them, if they are known.
    whole : bool
        Whether those that stand already are written down again, as where other rules hold.
    """
    now = tuple(chosen_sets(kept) if sets is None else sets)
    fresh = now if whole else _fresh(kept, now)
    if not fresh:
        return None
    squares, numbers = (tuple(one.squares for one in fresh), tuple(one.number for one in fresh))
    return RecordedEvent(PairedSets(squares, numbers, after), made=kept.version)


def choices_of_change(
    before: StoredBundle, after: StoredBundle, followed: After
) -> tuple[RecordedEvent, ...]:
    """Return the choices that are new after a change.

    Where none was written down before the change, the sets that there were stand first.
    """
    first = None if before.state.standing.chosen else fresh_choice(before, "shown")
    before, after = with_choice(before, first), with_choice(after, first)
    ruled = before.state.rules != after.state.rules
    then = None if paired_alike(before, after) else fresh_choice(after, followed, whole=ruled)
    return tuple(one for one in (first, then) if one is not None)


def with_choice(kept: StoredBundle, choice: RecordedEvent | None) -> StoredBundle:
    """Return a bundle with a choice more."""
    if choice is None:
        return kept
    choices = (*kept.choices, choice)
    return replace(kept, choices=choices, state=replay(kept.seen, kept.events, choices))


def _fresh(kept: StoredBundle, sets: Sequence[StandingSet]) -> list[StandingSet]:
    """Return the sets that aren't written down, and those that share a square with them.

    A large square that gives several pieces may be in several sets.
    """
    written: Mapping[int, frozenset[int]] = {
        one.number: frozenset(one.squares) for one in kept.state.standing.sets
    }
    fresh = [one for one in sets if written.get(one.number) != frozenset(one.squares)]
    touched = {square for one in fresh for square in one.squares}
    return [one for one in sets if touched & set(one.squares)]
