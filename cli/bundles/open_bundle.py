"""What the commands on kept bundles share: opening, finding squares and photos, changing."""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Final

from catalog.errors import CatalogueError, StaleError
from catalog.phrases import sentence
from cli import console

if TYPE_CHECKING:
    from catalog.catalogue.bundle_catalogue import Catalogue
    from catalog.catalogue.events.event_base import Event
    from catalog.catalogue.records import RecordedEvent, StoredBundle
    from cli.options import Manner

TRIES: Final = 30
"""How often a change is worked out anew because another command was quicker."""
MAX_EVENTS_TOLD: Final = 20
"""Events of one command that are told one by one."""
LONGEST_PAUSE: Final = 0.05
"""Seconds, by chance fewer, before it is tried again, so that two commands don't keep step."""


@contextmanager
def opened(manner: Manner, *, reading: bool = False) -> Iterator[Catalogue]:
    """Open the catalogue that a command means, or only to read it."""
    from catalog.catalogue.bundle_catalogue import Catalogue

    with Catalogue(manner.catalogue, reading=reading, tell=console.mention_work) as catalogue:
        yield catalogue


def change(
    name: str, manner: Manner, events_of: Callable[[Catalogue, StoredBundle], Sequence[Event]]
) -> StoredBundle:
    """Do events to a bundle and tell what was done.

    Parameters
    ----------
    name : str
        Of the bundle.
    manner : Manner
    events_of : callable
        Makes the events from the bundle as it stands; asked again where another command was
        quicker, so that what was checked still holds when it is written.

    Returns
    -------
    StoredBundle
        The bundle afterwards; as it was where the events change nothing, which are not kept then.
    """
    with opened(manner) as catalogue, console.progress() as tell:
        for _ in range(TRIES):
            before = catalogue.bundle(name)
            events = events_of(catalogue, before)
            if _change_nothing(before, events):
                _told_nothing(before, events, manner)
                return before
            try:
                after = catalogue.do(name, events, seen_version=before.version, tell=tell)
                break
            except StaleError:
                time.sleep(random.uniform(0, LONGEST_PAUSE))
        else:
            raise CatalogueError(
                f"others keep changing {before.name}", "wait until their work is done"
            )
    told(before, after, after.events[len(before.events) :], manner)
    return after


def told(
    before: StoredBundle, after: StoredBundle, events: Sequence[RecordedEvent], manner: Manner
) -> None:
    """Say what was done and what can no longer hold because of it."""

    def words(one: RecordedEvent) -> str:
        from catalog.catalogue.events.event_words import words_of

        return f": {words_of(one, before if one.event.kind == 'place' else after)}"

    undo = f"calicount undo {quoted(after.name)} takes it back."
    tell_change(before, after, events, manner, words, _let_go(before, after, events), undo)


def tell_change(
    before: StoredBundle,
    after: StoredBundle,
    events: Sequence[RecordedEvent],
    manner: Manner,
    words: Callable[[RecordedEvent], str],
    let_go: Sequence[str] = (),
    footer: str = "",
) -> None:
    """Say how events changed a bundle.

    Parameters
    ----------
    before, after : StoredBundle
    events : sequence of RecordedEvent
    manner : Manner
    words : callable
        Says an event, in words that follow the bundle's name.
    let_go : sequence of str
        What holds no longer, each a clause.
    footer : str
        How to go back.
    """
    fresh = [note for note in after.state.notes if note not in before.state.notes]
    sets = sets_lines(before, after)

    def say() -> None:
        for one in events[:MAX_EVENTS_TOLD]:
            console.tell(f"{after.name}{words(one)}.")
        if len(events) > MAX_EVENTS_TOLD:
            console.tell(f"{after.name}: and {len(events) - MAX_EVENTS_TOLD:,} more of the kind.")
        told = (*renamed_lines(before, after), *let_go, *fresh, *sets)
        for line in (*map(sentence, told), footer):
            if line:
                console.tell(f"  {line}")

    console.answer(manner, lambda: _as_object(after, events, fresh), say)


def sets_lines(before: StoredBundle, after: StoredBundle) -> list[str]:
    """Say which sets are no more, and which are new."""
    from catalog.catalogue.standing.choices import paired_alike

    if not before.state.standing.chosen or paired_alike(before, after):
        return []  # nobody has seen them yet, or they are the same
    from catalog.catalogue.standing.set_change_words import has_changed
    from catalog.catalogue.standing.set_changes import change_between, paired

    return has_changed(change_between(paired(before), paired(after)))


def renamed_lines(before: StoredBundle, after: StoredBundle) -> list[str]:
    """Say which squares of the bundle have another label now."""
    now = after.state.squares
    moved = [
        f"what was {one.label} is {now[one.id].label} now"
        for one in before.by_label.values()
        if one.id in now and now[one.id].live and now[one.id].label != one.label
    ]
    more = len(moved) - MAX_EVENTS_TOLD
    return [
        *moved[:MAX_EVENTS_TOLD],
        *([f"{more:,} more squares have other labels"] if more > 0 else []),
    ]


def _let_go(
    before: StoredBundle, after: StoredBundle, events: Sequence[RecordedEvent]
) -> list[str]:
    """Say which locked sets are locked no more because of what was said of others."""
    if any(one.event.kind == "unlock" for one in events):
        return []
    now = after.state
    return [
        f"{' + '.join(after.label(number) for number in lock)} is no longer locked"
        for lock in before.state.locks
        if lock not in now.locks and all(now.squares[number].free for number in lock)
    ]


def _change_nothing(kept: StoredBundle, events: Sequence[Event]) -> bool:
    """Tell whether all is as the events say already."""
    from catalog.catalogue.events.projection import replay
    from catalog.catalogue.records import RecordedEvent

    if any(event.kind in {"missed", "choose anew"} for event in events):
        return False  # one has no number yet, the other may find others
    after = (*kept.events, *map(RecordedEvent, events))
    return replay(kept.seen, after, kept.choices) == kept.state


def _told_nothing(kept: StoredBundle, events: Sequence[Event], manner: Manner) -> None:
    from catalog.catalogue.events.event_words import words_of
    from catalog.catalogue.records import RecordedEvent

    def say() -> None:
        for event in events[:MAX_EVENTS_TOLD]:
            console.tell(f"{kept.name}: {words_of(RecordedEvent(event), kept)}, as it was already.")
        console.tell("  Nothing had to be changed.")

    console.answer(manner, lambda: _as_object(kept, [], []), say)


def quoted(name: str) -> str:
    """Return a name as it is typed in the shell."""
    plain = all(letter.isalnum() or letter in "-_.+" for letter in name)
    return name if plain and not name.startswith("-") else '"' + name.replace('"', '\\"') + '"'


def _as_object(
    kept: StoredBundle, events: Sequence[RecordedEvent], doubts: Sequence[str]
) -> dict[str, Any]:
    """Return a change for the JSON object; what writes that is imported only then."""
    from cli.bundles.bundle_json import change_object

    return change_object(kept, events, doubts)
