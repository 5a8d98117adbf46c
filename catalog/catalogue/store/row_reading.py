"""A bundle's rows to what it is."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import partial
from typing import Final

from catalog.catalogue.events.event_kinds import event_of
from catalog.catalogue.events.projection import replay
from catalog.catalogue.events.standing_events import PairedSets
from catalog.catalogue.records import RecordedEvent, SeenSquare, State, StoredBundle, StoredPhoto
from catalog.catalogue.store import bundle_list, digests, encoding
from catalog.catalogue.store.photo_rows import photo_of
from catalog.catalogue.store.print_encoding import print_of
from catalog.models import Swatch

PLAIN_COLUMNS: Final = (
    "label", "print_kind", "busyness", "colour_name", "value", "fabric", "family", "role",
    "uncertainty", "own_uncertainty",
)  # fmt: skip
"""Columns of a swatch's row that are what the swatch calls so."""


@dataclass(frozen=True, eq=False)
class Record:
    """A bundle's rows: what was seen, what was said, and what was last made of it."""

    id: int
    name: str
    side: Fraction
    version: int
    added_at: str
    photos: tuple[StoredPhoto, ...]
    measured_from: Mapping[int, str]
    """By photo: see `catalog.catalogue.derived_swatches`."""
    seen: tuple[SeenSquare, ...]
    events: tuple[RecordedEvent, ...]
    swatches: Mapping[int, Swatch]
    """By square, in reading order."""
    choices: tuple[RecordedEvent, ...] = ()
    """Sets that were chosen, which are no events of a person's."""


def record(
    connection: sqlite3.Connection, number: int, *, whole: bool = True, measured: bool = True
) -> Record:
    """Read a bundle's rows; for use inside a transaction or snapshot.

    Parameters
    ----------
    connection : sqlite3.Connection
    number : int
        Of the bundle.
    whole : bool
        Whether they must be as calicount wrote them; those that this transaction has written
        itself have no digests yet.
    measured : bool
        Whether the swatches are read too.

    Raises
    ------
    CatalogueError
        There is no such bundle, or its rows are damaged.
    """
    name, _ = bundle_list.head(connection, number)
    rows = partial(digests.sound_rows if whole else digests.rows_of, connection, number)
    if whole:
        digests.refuse_broken(connection, number, ("photos", "lights"))
    with digests.understood(name):
        (row,) = rows("bundle")
        seen = _seen(rows("squares"))
        events, choices = _events(rows("deeds"))
        photos = connection.execute(
            "select * from photos where bundle_id = ? order by number", (number,)
        ).fetchall()
        names = {one["id"]: one["name"] for one in photos}
        return Record(
            id=number,
            name=row["name"],
            side=Fraction(row["side"]),
            version=row["version"],
            added_at=row["added_at"],
            photos=tuple(photo_of(one) for one in photos),
            measured_from={one["id"]: one["measured_from"] for one in photos},
            seen=seen,
            events=events,
            swatches=_swatches(rows("swatches"), seen, names) if measured else {},
            choices=choices,
        )


def has_counted_sets(connection: sqlite3.Connection, number: int) -> bool:
    """Tell whether a count of a bundle's sets alone was kept, so that somebody has seen them."""
    row = connection.execute(
        "select 1 from counts where bundle_id = ? and pattern = '' limit 1", (number,)
    ).fetchone()
    return row is not None


def state_of(rows: Record) -> State:
    """Return what follows from a bundle's rows.

    Raises
    ------
    CatalogueError
        They contradict each other.
    """
    with digests.understood(rows.name):
        return replay(rows.seen, rows.events, rows.choices)


def stored_bundle(rows: Record) -> StoredBundle:
    """Return a bundle as it stands."""
    state = state_of(rows)
    gone = state.dropped_photos
    with digests.understood(rows.name):
        return StoredBundle(
            id=rows.id,
            name=rows.name,
            side=rows.side,
            version=rows.version,
            photos=tuple(p for p in rows.photos if p.id not in gone),
            state=state,
            events=rows.events,
            swatches=tuple(rows.swatches.values()),
            added_at=rows.added_at,
            by_label={state.squares[n].label: state.squares[n] for n in rows.swatches},
            gone_photos=tuple(replace(p, dropped=True) for p in rows.photos if p.id in gone),
            seen=rows.seen,
            measured_from=rows.measured_from,
            choices=rows.choices,
        )


def _seen(rows: digests.Rows) -> tuple[SeenSquare, ...]:
    return tuple(
        SeenSquare(number, photo, label, encoding.square_of(seen) if seen else None)
        for number, _, photo, label, seen in rows
    )


def _events(
    rows: digests.Rows,
) -> tuple[tuple[RecordedEvent, ...], tuple[RecordedEvent, ...]]:
    """Return what a person did, counted from 1, and beside it the sets that were chosen."""
    events: list[RecordedEvent] = []
    choices: list[RecordedEvent] = []
    for row in rows:
        event = event_of(row["kind"], json.loads(row["args"]))
        chosen = isinstance(event, PairedSets)
        number = 0 if chosen else len(events) + 1
        one = RecordedEvent(event, number, row["at"], row["made"], row["undone"], row["number"])
        (choices if chosen else events).append(one)
    return tuple(events), tuple(choices)


def _swatches(
    rows: digests.Rows, seen: Sequence[SeenSquare], names: Mapping[int, str]
) -> dict[int, Swatch]:
    photos = {one.id: one.photo for one in seen}
    return {row["square_id"]: _swatch(row, names[photos[row["square_id"]]]) for row in rows}


def _swatch(row: sqlite3.Row, photo: str) -> Swatch:
    palette, at_wall, look = print_of(row["print"] if "print" in row.keys() else None)  # noqa: SIM118 - in a row are its values
    return Swatch(
        photo=photo,
        square=encoding.square_of(row["square"]),
        lab=(row["lightness"], row["a"], row["b"]),
        flags=tuple(json.loads(row["flags"])),
        signature=encoding.signature_of(row["signature"]),
        palette=palette,
        palette_at_wall=at_wall,
        look=look,
        **{column: row[column] for column in PLAIN_COLUMNS},
    )
