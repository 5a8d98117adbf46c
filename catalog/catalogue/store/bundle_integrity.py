"""Whether a bundle's rows agree with each other, and are as they were written."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence, Set
from dataclasses import dataclass
from typing import Final

from catalog.bundle.photo_doubts import doubts_by_photo, own_doubts
from catalog.catalogue.events.event_base import UnknownEvent
from catalog.catalogue.events.square_events import MissedSquare
from catalog.catalogue.index.index_writing import is_as_written
from catalog.catalogue.records import State, StoredSquare
from catalog.catalogue.store import digests, encoding, row_reading
from catalog.catalogue.store.row_reading import Record

TAKE_BACK: Final = (
    "take back a copy of the catalogue if you have one; else export what still can be"
)
MEND: Final = "calicount check-up --mend measures and lists it anew from its photos"
ADD_AGAIN: Final = "take back a copy, or take the photo out and add it again"
AS_IT_IS: Final = (
    "take back a copy of the catalogue if you have one; else calicount check-up --keep-as-is goes "
    "on with it as it is now"
)
CHANGED: Final = {
    "bundle": "its name, size or version was changed by something else",
    "photos": "what is known of its photos was changed by something else",
    "squares": "the squares as its photos showed them were changed by something else",
    "deeds": "what you said and did was changed by something else",
    "counts": "a count that was kept is missing, or was added by something else",
    "count": "a count that was kept was changed by something else",
    "lights": "the lights of its photos aren't as they were measured",
    "swatches": "its squares aren't listed as they were measured",
    "crops": "the pictures of its squares aren't as they were made",
}
"""What to say of each part whose digest is another; see `catalog.catalogue.store.digests`."""
INDEX: Final = "what its squares are found by isn't what they are"
MEND_INDEX: Final = "calicount check-up --mend writes it anew from the squares"
MAX_LABELS_NAMED: Final = 5
"""Squares named one by one, so that a fault is a line (choice of ours); more are counted."""


@dataclass(frozen=True)
class Fault:
    """Something that isn't well."""

    what: str
    """A clause without a full stop."""
    cure: str
    """What to do, as a clause."""
    bundle: str = ""
    mendable: bool = False
    """Whether `mend` puts it right."""


def bundle_faults(connection: sqlite3.Connection, number: int, name: str) -> Iterator[Fault]:
    """Tell what of a bundle's rows doesn't agree, or isn't as it was written."""
    broken = digests.broken_parts(connection, number)
    state, strange = state_or_why(connection, number)
    if state is None:
        yield Fault(f"{name}: {strange}", TAKE_BACK, name)
    for what in _wrongly_measured(connection, number, state, broken):
        yield Fault(f"{name}: {what}", MEND, name, mendable=True)
    if state is not None and not broken and not _indexed(connection, number, state):
        yield Fault(f"{name}: {INDEX}", MEND_INDEX, name, mendable=True)
    others = [part.split()[0] for part in broken if part not in digests.MEASURED]
    for part in dict.fromkeys(others):
        yield Fault(f"{name}: {CHANGED[part]}", AS_IT_IS if state else TAKE_BACK, name)


def state_or_why(connection: sqlite3.Connection, number: int) -> tuple[State | None, str]:
    """Return what follows from a bundle's rows, or why nothing does."""
    try:
        record = row_reading.record(connection, number, whole=False, measured=False)
        strange = _strangeness(record)
        return (None, strange) if strange else (row_reading.state_of(record), "")
    except Exception as error:  # rows that something else wrote may hold anything
        told = type(error.__cause__ or error).__name__
        return None, f"some of its rows can't be understood ({told})"


def _wrongly_measured(
    connection: sqlite3.Connection, number: int, state: State | None, broken: Sequence[str]
) -> Iterator[str]:
    """Tell what of the photos' measures is missing, or isn't as it was written."""
    told = []
    if state is not None:
        try:
            told += [
                *_listed_otherwise(connection, state, number),
                *_lost_parts(connection, number),
            ]
        except Exception as error:  # as above
            told.append(f"its list can't be understood ({type(error).__name__})")
    yield from told or (CHANGED[part] for part in broken if part in digests.MEASURED)


def _indexed(connection: sqlite3.Connection, number: int, state: State) -> bool:
    """Tell whether the index says what the bundle's rows say."""
    try:
        return is_as_written(connection, number, state)
    except Exception:  # as above; what is wrong with the rows is told by itself
        return False


def _strangeness(record: Record) -> str:
    """Return what is wrong with what was done and seen; empty where nothing is."""
    squares = {one.id for one in record.seen}
    photos = {one.id for one in record.photos}
    strange: list[int] = []

    def noted(number: int, of: set[int]) -> int:
        if number not in of:
            strange.append(number)
        return number

    rows = sorted((*record.events, *record.choices), key=lambda one: one.row)
    for place, one in enumerate(rows, start=1):
        if one.row != place:
            return f"number {place} of what was done is missing"
        if isinstance(one.event, UnknownEvent):
            return f"number {place} of what was done is nothing that calicount knows"
        one.event.renumbered(lambda n: noted(n, squares), lambda n: noted(n, photos))
        if strange:
            return f"number {place} of what was done is about squares that aren't there"
    events = [one.event for one in record.events]
    drawn = {event.square for event in events if isinstance(event, MissedSquare)}
    if any(one.square is None and one.id not in drawn for one in record.seen):
        return "it has squares that nobody saw or drew"
    if any(one.photo not in photos for one in record.seen):
        return "it has squares of photos that aren't there"
    return ""


def _listed_otherwise(connection: sqlite3.Connection, state: State, number: int) -> Iterator[str]:
    """Tell which squares are listed otherwise than photos and corrections say."""
    listed = {
        row["square_id"]: row
        for row in connection.execute(
            "select square_id, label, square, role, state, said from swatches where bundle_id = ?",
            (number,),
        )
    }
    live = {one.id: one for one in state.squares.values() if one.live}
    shared = doubts_by_photo((one.photo, one.square) for one in live.values())
    wrong = {
        one.id
        for one in live.values()
        if one.id in listed and _row_of(one, shared[one.photo]) != tuple(listed[one.id])[1:]
    }
    for odd, word in (
        (live.keys() - listed.keys(), "missing from the list"),
        (listed.keys() - live.keys(), "still in the list"),
        (wrong, "listed wrongly"),
    ):
        if odd:
            yield f"{_named(state, odd)} {'is' if len(odd) == 1 else 'are'} {word}"


def _row_of(one: StoredSquare, shared: frozenset[str]) -> tuple[str, ...]:
    """Return how a square is listed, where its photo has doubts of its own."""
    square = encoding.square_text(own_doubts(one.square, shared))
    return (one.label, square, one.role, one.why_not_free, one.said)


def _lost_parts(connection: sqlite3.Connection, number: int) -> Iterator[str]:
    """Tell what was measured of the listed squares and is there no more."""
    crops = connection.execute(
        """select count(*) from swatches w left join crops c using (square_id)
        where w.bundle_id = ? and c.square_id is null""",
        (number,),
    ).fetchone()[0]
    if crops:
        yield f"the pictures of {crops} squares are missing"
    for photo in connection.execute(
        """select distinct p.name, p.light, p.measured_from from photos p
            join squares s on s.photo_id = p.id join swatches w on w.square_id = s.id
        where w.bundle_id = ?""",
        (number,),
    ).fetchall():
        try:
            encoding.light_of(photo["light"] or b"")
        except ValueError:
            yield f"the light of {photo['name']} can't be read"
        if not photo["measured_from"]:
            yield f"{photo['name']} waits to be measured again"


def _named(state: State, numbers: Set[int]) -> str:
    labels = sorted(
        state.squares[n].label if n in state.squares else f"number {n}" for n in numbers
    )
    more = f" and {len(labels) - MAX_LABELS_NAMED} more" if len(labels) > MAX_LABELS_NAMED else ""
    return ", ".join(labels[:MAX_LABELS_NAMED]) + more
