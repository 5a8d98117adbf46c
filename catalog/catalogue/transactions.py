"""Events done to a bundle, and undone, each change whole or not at all.

A change is worked out on a snapshot first, which may take a second where a photo is measured again,
and then written in one transaction, if the bundle is still at the version it was worked out for;
otherwise it is worked out anew.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from msgspec import structs

from catalog.catalogue.events.projection import replay
from catalog.catalogue.events.square_events import MissedSquare
from catalog.catalogue.index.index_writing import write_index
from catalog.catalogue.records import RecordedEvent, SeenSquare, StoredBundle
from catalog.catalogue.store import bundle_list, digests, photo_rows, row_reading, row_writing
from catalog.catalogue.store.file_transactions import snapshot, transaction
from catalog.catalogue.store.row_reading import Record
from catalog.errors import CatalogueError, StaleError
from catalog.system.progress import Progress

if TYPE_CHECKING:
    from catalog.catalogue.derived_swatches import DerivedSwatches, Fresh
    from catalog.catalogue.events.event_base import Event
    from catalog.catalogue.events.standing_events import After

NextEvents = Callable[[Record], tuple[RecordedEvent, ...]]
"""A bundle's rows to its events once the change is made; new ones have number 0."""
TRIES: Final = 8
"""How often a change is worked out anew because another command was quicker."""


def change_bundle(
    sql: sqlite3.Connection,
    name: str,
    next_events: NextEvents,
    seen_version: int | None,
    tell: Progress,
    followed: After = "shown",
) -> StoredBundle:
    """Change a bundle's events; see `catalog.catalogue.bundle_catalogue.Catalogue.do`.

    Raises
    ------
    StaleError
        The bundle has another version by now.
    CatalogueError
        There is no such bundle, or others keep changing it.
    """
    for _ in range(TRIES):
        with snapshot(sql):
            rows = row_reading.record(sql, bundle_list.bundle_id(sql, name))
        if seen_version is not None and rows.version != seen_version:
            raise StaleError(
                f"{rows.name} has been changed elsewhere meanwhile",
                "look at it as it is now, and do it again",
            )
        kept = _written(sql, rows, next_events(rows), tell, followed)
        if kept is not None:
            return kept
    raise busy(name)


def bundle_after(
    sql: sqlite3.Connection, kept: StoredBundle, events: Sequence[Event], tell: Progress
) -> StoredBundle:
    """Return a bundle as it would be after events; inside a snapshot.

    Sets that nobody wrote down yet stand as ``kept`` says.
    """
    rows = replace(row_reading.record(sql, kept.id), choices=kept.choices)
    seen, done = list(rows.seen), list(rows.events)
    for event in events:
        asked = event
        if isinstance(event, MissedSquare) and not event.square:
            number = min([0, *(one.id for one in seen)]) - 1  # which no kept square ever has
            label = row_writing.loose_label(sql, rows.id)
            seen.append(SeenSquare(number, event.photo, label, None))
            asked = structs.replace(event, square=number)
        done.append(RecordedEvent(asked, made=rows.version + 1))
    after = replace(rows, version=rows.version + 1, seen=tuple(seen), events=tuple(done))
    derived = derived_bundle(sql, after, tell, before=rows)
    return row_reading.stored_bundle(replace(after, swatches=derived.swatches))


def _written(
    sql: sqlite3.Connection,
    rows: Record,
    events: Sequence[RecordedEvent],
    tell: Progress,
    followed: After,
) -> StoredBundle | None:
    """Work out and write a bundle's new events; None where it was changed meanwhile."""
    if any(isinstance(one.event, MissedSquare) and not one.event.square for one in events):
        return _written_with_squares(sql, rows, events, tell, followed)
    after = replace(rows, events=tuple(events))
    derived = derived_bundle(sql, after, tell, before=rows)
    paired = _paired(sql, rows, after, derived, followed)
    with transaction(sql):
        return _write(sql, rows, after, derived, paired)


def _written_with_squares(
    sql: sqlite3.Connection,
    rows: Record,
    events: Sequence[RecordedEvent],
    tell: Progress,
    followed: After,
) -> StoredBundle | None:
    """As `_written`, where a drawn square needs a number first."""
    with transaction(sql):
        if not at_version(sql, rows.id, rows.version):
            return None
        numbered = []
        for one in events:
            event = one.event
            if isinstance(event, MissedSquare) and not event.square:
                label = row_writing.loose_label(sql, rows.id)
                number = row_writing.put_square(sql, rows.id, event.photo, label, None)
                event = structs.replace(event, square=number)
            numbered.append(replace(one, event=event))
        now = replace(row_reading.record(sql, rows.id, whole=False), events=tuple(numbered))
        derived = derived_bundle(sql, now, tell)
        return _write(sql, rows, now, derived, _paired(sql, rows, now, derived, followed))


def _paired(
    sql: sqlite3.Connection,
    rows: Record,
    after: Record,
    derived: DerivedSwatches,
    followed: After,
) -> tuple[RecordedEvent, ...]:
    """Return which sets are chosen, so that they stay when a bundle changes.

    Sets that nobody has seen yet are left open.
    """
    if not rows.choices and not row_reading.has_counted_sets(sql, rows.id):
        return ()
    from catalog.catalogue.standing.choices import choices_of_change  # slow to load

    before = row_reading.stored_bundle(rows)
    then = replace(after, version=rows.version + 1, swatches=derived.swatches)
    return choices_of_change(before, row_reading.stored_bundle(then), followed)


def _write(
    sql: sqlite3.Connection,
    rows: Record,
    after: Record,
    derived: DerivedSwatches,
    paired: Sequence[RecordedEvent],
) -> StoredBundle | None:
    if not at_version(sql, rows.id, rows.version):
        return None
    version = row_writing.rise(sql, rows.id)
    old = {one.number: one for one in rows.events}
    for one in after.events:
        if one.number == 0:
            row_writing.put_event(sql, rows.id, one, version)
        elif one.undone != old[one.number].undone:
            sql.execute(
                "update deeds set undone = ? where bundle_id = ? and number = ?",
                (one.undone, rows.id, one.row),
            )
    for one in paired:
        row_writing.put_event(sql, rows.id, one, one.made)
    if derived.again:
        digests.refuse_broken(sql, rows.id, ("crops",))
    state = replay(after.seen, after.events)
    row_writing.put_derived(sql, rows.id, derived, state)
    measured = ("lights", "crops") if derived.again else ()
    digests.write_digests(sql, rows.id, ("bundle", "squares", "deeds", "swatches", *measured))
    write_index(sql, rows.id, state, derived.swatches)
    return row_reading.stored_bundle(row_reading.record(sql, rows.id, whole=False))


def derived_bundle(
    sql: sqlite3.Connection,
    rows: Record,
    tell: Progress,
    fresh: Mapping[int, Fresh] = MappingProxyType({}),
    content_of: Callable[[int], bytes | None] = lambda _: None,
    before: Record | None = None,
    *,
    jobs: int | None = 1,
) -> DerivedSwatches:
    """Work out what follows from a bundle's rows; files come from the catalogue if not given.

    ``before`` are the rows as they were last written, where only events have changed since.
    """
    from catalog.catalogue.derived_swatches import derive_swatches  # heavy, and not needed to read

    earlier = row_reading.state_of(before) if before else None
    return derive_swatches(
        rows,
        # What was kept may be damaged; what comes on top of it comes from us.
        replay(rows.seen, rows.events) if before else row_reading.state_of(rows),
        lambda photo: content_of(photo) or photo_rows.content_of_photo(sql, photo),
        lambda photo: photo_rows.light_of_photo(sql, photo),
        tell,
        fresh,
        earlier,
        jobs=jobs,
    )


def at_version(sql: sqlite3.Connection, number: int, version: int) -> bool:
    """Tell whether a bundle is there and still at a version."""
    row = sql.execute("select version from bundles where id = ?", (number,)).fetchone()
    return row is not None and row["version"] == version


def busy(name: str) -> CatalogueError:
    """Return the error of a change that others were always quicker than."""
    return CatalogueError(
        f"others keep changing {name}", "wait until their work is done and try again"
    )
