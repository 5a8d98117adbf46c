"""Values to rows of the catalogue; for use inside a transaction."""

from __future__ import annotations

import itertools
import json
import sqlite3
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Any

import numpy as np

from catalog.catalogue.records import RecordedEvent, State, StoredSquare
from catalog.catalogue.store import encoding
from catalog.catalogue.store.print_encoding import print_text
from catalog.catalogue.store.row_reading import PLAIN_COLUMNS
from catalog.models import Square, Swatch, label_of

if TYPE_CHECKING:
    from catalog.analysis import PhotoAnalysis
    from catalog.catalogue.derived_swatches import DerivedSwatches, Fresh, Remeasured


def now() -> str:
    """Return the time, ISO 8601 with the offset from UTC."""
    return datetime.now().astimezone().isoformat(timespec="seconds")


def insert(connection: sqlite3.Connection, table: str, **row: str | float | bytes | None) -> int:
    """Insert a row of these columns; give its number."""
    columns, marks = ", ".join(row), ", ".join(f":{column}" for column in row)
    done = connection.execute(f"insert into {table} ({columns}) values ({marks})", row)
    return int(done.lastrowid or 0)


def put_photo(
    connection: sqlite3.Connection, bundle: int, looked: PhotoAnalysis, content: bytes
) -> tuple[int, list[int]]:
    """Add a photo and what it said; give its number and its squares' numbers.

    Rows are counted on after those that the bundle has, loose squares too, so that labels that
    were given stay and none is given twice.
    """
    (number,) = connection.execute(
        "select coalesce(max(number), 0) + 1 from photos where bundle_id = ?", (bundle,)
    ).fetchone()
    name = _free_name(connection, bundle, looked.name)
    photo = insert(
        connection, "photos", bundle_id=bundle, number=number, name=name, digest=looked.digest,
        wide=looked.wide, high=looked.high, cut_off=looked.found.cut_off,
        pixels_per_inch=looked.found.pixels_per_inch, added_at=now(),
    )  # fmt: skip
    insert(connection, "photo_files", photo_id=photo, content=content)
    rows_before, loose = _labels_before(connection, bundle)
    squares = []
    for square in looked.found.squares:
        if square.row is None or square.col is None:
            loose += 1
            label, kept = label_of(square, loose), square
        else:
            kept = replace(square, row=square.row + rows_before)
            label = label_of(kept, 0)
        squares.append(put_square(connection, bundle, photo, label, kept))
    return photo, squares


def put_square(
    connection: sqlite3.Connection, bundle: int, photo: int, label: str, seen: Square | None
) -> int:
    """Add a square: as seen, or one that a person drew."""
    text = encoding.square_text(seen) if seen else None
    return insert(connection, "squares", bundle_id=bundle, photo_id=photo, label=label, seen=text)


def loose_label(connection: sqlite3.Connection, bundle: int) -> str:
    """Return the next label of a square in no row."""
    return f"S{_labels_before(connection, bundle)[1] + 1:03d}"


def put_event(connection: sqlite3.Connection, bundle: int, one: RecordedEvent, made: int) -> None:
    """Add an event at the end."""
    event = one.event
    connection.execute(
        """insert into deeds (bundle_id, number, kind, args, at, made) select ?,
            coalesce(max(number), 0) + 1, ?, ?, ?, ? from deeds where bundle_id = ?""",
        (bundle, event.kind, json.dumps(event.args), one.at or now(), made, bundle),
    )


def under_numbers(
    derived: DerivedSwatches, trial: Mapping[int, Fresh], final: Mapping[int, Fresh]
) -> DerivedSwatches:
    """Return what was made of a bundle under the numbers that its new photos have got in the end.

    Parameters
    ----------
    derived : DerivedSwatches
    trial, final : mapping
        New photos with the numbers of their squares, in the same order.
    """
    photos = dict(zip(trial, final, strict=True))
    squares = {
        old: new
        for (_, before), (_, after) in zip(trial.values(), final.values(), strict=True)
        for old, new in zip(before, after, strict=True)
    }

    def by_final(found: Mapping[int, Any]) -> dict[int, Any]:
        return {squares.get(number, number): one for number, one in found.items()}

    again = tuple(
        replace(one, photo=photos.get(one.photo, one.photo), swatches=by_final(one.swatches),
                crops=by_final(one.crops))
        for one in derived.again
    )  # fmt: skip
    return replace(derived, swatches=by_final(derived.swatches), again=again)


def put_derived(
    connection: sqlite3.Connection, bundle: int, derived: DerivedSwatches, state: State
) -> None:
    """Write what was made of a bundle in place of what was there."""
    for one in derived.again:
        _put_measured(connection, one)
    connection.execute("delete from swatches where bundle_id = ?", (bundle,))
    for place, (number, swatch) in enumerate(derived.swatches.items()):
        _put_swatch(connection, bundle, place, state.squares[number], swatch)


def rise(connection: sqlite3.Connection, bundle: int) -> int:
    """Count a change of the bundle; give its new version."""
    (version,) = connection.execute(
        "update bundles set version = version + 1 where id = ? returning version", (bundle,)
    ).fetchone()
    return int(version)


def put_count(
    connection: sqlite3.Connection,
    bundle: int,
    head: Mapping[str, str | int],
    sets: Sequence[tuple[int, str, float, float, str, str, tuple[int, ...]]],
) -> int:
    """Keep a count: title, pattern, rules, tally, enough; and its sets with their squares."""
    count = insert(connection, "counts", bundle_id=bundle, at=now(), **head)
    for number, need, difference, step, family, flags, squares in sets:
        connection.execute(
            "insert into sets values (?, ?, ?, ?, ?, ?, ?)",
            (count, number, need, difference, step, family, flags),
        )
        connection.executemany(
            "insert into set_squares values (?, ?, ?, ?)",
            [(count, number, place, square) for place, square in enumerate(squares, start=1)],
        )
    return count


def _put_measured(connection: sqlite3.Connection, one: Remeasured) -> None:
    light = one.light
    connection.execute(
        """update photos set light = ?, evidence = ?, expected_error = ?, unevenness = ?,
            measured_from = ? where id = ?""",
        (
            encoding.light_bytes(light) if light else None,
            light.evidence if light else "",
            light.expected_error if light else 0.0,
            light.unevenness if light else 1.0,
            one.measured_from,
            one.photo,
        ),
    )
    connection.executemany("insert or replace into crops values (?, ?)", list(one.crops.items()))


def _put_swatch(
    connection: sqlite3.Connection, bundle: int, place: int, square: StoredSquare, swatch: Swatch
) -> None:
    lightness, a, b = (float(value) for value in swatch.lab)
    plain = {column: getattr(swatch, column) for column in PLAIN_COLUMNS}
    insert(
        connection, "swatches", square_id=square.id, bundle_id=bundle, place=place,
        square=encoding.square_text(swatch.square), lightness=lightness, a=a, b=b,
        flags=json.dumps(list(swatch.flags)),
        signature=np.asarray(swatch.signature, np.float32).tobytes(),
        state=square.why_not_free, said=square.said, print=print_text(swatch),
        **{name: one if isinstance(one, str) else float(one) for name, one in plain.items()},
    )  # fmt: skip


def _labels_before(connection: sqlite3.Connection, bundle: int) -> tuple[int, int]:
    """Return the last row and the last loose number that any square of the bundle has or had."""
    rows = loose = 0
    for (label,) in connection.execute("select label from squares where bundle_id = ?", (bundle,)):
        if label.startswith("S"):
            loose = max(loose, int(label[1:]))
        else:
            rows = max(rows, int(label[1:].partition("C")[0]))
    (placed,) = connection.execute(
        """select coalesce(max(json_extract(args, '$.row')), 0) from deeds
        where bundle_id = ? and kind in ('place', 'missed') and not undone""",
        (bundle,),
    ).fetchone()
    return max(rows, placed), loose


def _free_name(connection: sqlite3.Connection, bundle: int, name: str) -> str:
    """Return a photo's name, numbered where the bundle has one of that name."""
    rows = connection.execute("select name from photos where bundle_id = ?", (bundle,))
    taken = {row["name"] for row in rows}
    numbered = (f"{name} ({number})" for number in itertools.count(2))
    return next(one for one in itertools.chain([name], numbered) if one not in taken)
