"""Events taken back and done again: a bundle's events in, the same with others undone out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from catalog.catalogue.records import RecordedEvent
from catalog.catalogue.store.row_reading import Record
from catalog.errors import CatalogueError
from catalog.phrases import quoted_if_spaced


def next_undone(events: Sequence[RecordedEvent], number: int | None = None) -> RecordedEvent | None:
    """Return what undoing takes back: the last event that holds, or the one of a number."""
    holding = [one for one in events if not one.undone and number in {None, one.number}]
    return holding[-1] if holding else None


def next_redone(events: Sequence[RecordedEvent], number: int | None = None) -> RecordedEvent | None:
    """Return what was undone last, if nothing was done since; or the event of a number."""
    gone = [one for one in events if one.undone]
    if number is None:
        last = max((one.made for one in events if not one.undone), default=0)
        gone = [one for one in gone if one.undone > last]
    else:
        gone = [one for one in gone if one.number == number]
    return max(gone, key=lambda one: (one.undone, -one.number), default=None)


def undone(rows: Record, number: int | None) -> tuple[RecordedEvent, ...]:
    """Return a bundle's events with the last change, or the event of a number, taken back.

    Raises
    ------
    CatalogueError
        There is nothing to take back.
    """
    last = next_undone(rows.events, number)
    if last is None:
        raise _nothing_to("undo", rows, number)
    return without(rows.events, last, rows.version + 1, alone=number is not None)


def redone(rows: Record, number: int | None) -> tuple[RecordedEvent, ...]:
    """Return a bundle's events with what was undone last, or the event of a number, holding again.

    Raises
    ------
    CatalogueError
        There is nothing to do again.
    """
    again = next_redone(rows.events, number)
    if again is None:
        raise _nothing_to("do again", rows, number)
    return with_again(rows.events, again, alone=number is not None)


def without(
    events: Sequence[RecordedEvent], last: RecordedEvent, version: int, *, alone: bool = False
) -> tuple[RecordedEvent, ...]:
    """Return events with one undone at a version, and unless alone all that was done with it."""
    return tuple(
        replace(one, undone=version)
        if one == last or (not alone and one.made == last.made and not one.undone)
        else one
        for one in events
    )


def with_again(
    events: Sequence[RecordedEvent], again: RecordedEvent, *, alone: bool = False
) -> tuple[RecordedEvent, ...]:
    """Return events with one holding again, and unless alone all that was undone with it."""
    return tuple(
        replace(one, undone=0)
        if one == again or (not alone and one.undone == again.undone)
        else one
        for one in events
    )


def _nothing_to(what: str, rows: Record, number: int | None) -> CatalogueError:
    lists = f"calicount history {quoted_if_spaced(rows.name)} lists what was done"
    if number is None:
        return CatalogueError(f"there is nothing to {what} in {rows.name}", lists)
    if not any(one.number == number for one in rows.events):
        return CatalogueError(f"the history of {rows.name} has no number {number}", lists)
    holds = "is taken back already" if what == "undo" else "holds as it is"
    return CatalogueError(f"number {number} in the history of {rows.name} {holds}", lists)
