"""Photos put into a bundle, all of them or none."""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from catalog.catalogue.events.photo_events import PhotoGround, PhotoLamp
from catalog.catalogue.index.index_writing import write_index
from catalog.catalogue.records import RecordedEvent, StoredBundle
from catalog.catalogue.store import bundle_list, digests, row_reading, row_writing
from catalog.catalogue.store.file_transactions import snapshot, transaction, trial
from catalog.catalogue.store.row_reading import Record
from catalog.catalogue.transactions import TRIES, at_version, busy, derived_bundle
from catalog.errors import CatalogueError, NoSquaresError, PhotoError
from catalog.models import LightHints
from catalog.system.progress import Progress

if TYPE_CHECKING:
    from catalog.analysis import PhotoAnalysis
    from catalog.catalogue.derived_swatches import Fresh
    from catalog.catalogue.events.event_base import Event

Source = bytes | Path
"""A photo's file, or where it lies: it is then read only when it is needed, and let go again, so
that many photos take up no more memory than one."""


@dataclass(frozen=True)
class Added:
    """What became of the photos that were to be added."""

    kept: StoredBundle
    added: tuple[str, ...]
    """Names."""
    known: tuple[str, ...]
    """Names of photos that the bundle holds already."""
    empty: tuple[str, ...]
    """Names of photos that show no squares; they aren't kept."""


def add_photos(
    sql: sqlite3.Connection,
    name: str,
    side: Fraction | None,
    photos: Sequence[tuple[PhotoAnalysis, Source]],
    said: LightHints,
    tell: Progress,
    jobs: int | None = 1,
) -> Added:
    """Add photos to a bundle; see `catalog.catalogue.bundle_catalogue.Catalogue.add`."""
    for _ in range(TRIES):
        rows = _existing(sql, name)
        _same_side(rows, side)
        fresh, known, empty = _sorted_out(rows, photos)
        if not fresh:
            if rows is None or not known:
                raise NoSquaresError(
                    f"{' and '.join(empty) or 'no photo'}: no squares found",
                    "lay the squares flat and photograph them whole",
                )
            return Added(row_reading.stored_bundle(rows), (), known, empty)
        if _put_photos(sql, name, side, rows, fresh, said, tell, jobs):
            kept = _existing(sql, name)
            if kept is not None:
                names = tuple(looked.name for looked, _ in fresh)
                return Added(row_reading.stored_bundle(kept), names, known, empty)
    raise busy(name)


def of_another_kind(
    photos: Sequence[tuple[PhotoAnalysis, Source]], side: Fraction | None, own: Fraction | None
) -> list[tuple[PhotoAnalysis, Source]]:
    """Return photos whose squares say what they measure, where that isn't the bundle's `own`."""
    if side is None or own is None or side == own:
        return list(photos)
    return [(_saying(looked, float(side)), source) for looked, source in photos]


def _saying(looked: PhotoAnalysis, side: float) -> PhotoAnalysis:
    squares = tuple(replace(one, said_in=side) for one in looked.found.squares)
    swatches = tuple(
        replace(one, square=replace(one.square, said_in=side)) for one in looked.swatches
    )
    return replace(looked, found=replace(looked.found, squares=squares), swatches=swatches)


def _existing(sql: sqlite3.Connection, name: str) -> Record | None:
    with snapshot(sql):
        number = bundle_list.known_id(sql, name)
        return None if number is None else row_reading.record(sql, number)


def _put_photos(
    sql: sqlite3.Connection, name: str, side: Fraction | None, rows: Record | None,
    fresh: Sequence[tuple[PhotoAnalysis, Source]], said: LightHints, tell: Progress,
    jobs: int | None,
) -> bool:  # fmt: skip
    """Add photos in one transaction; False where the bundle was changed meanwhile.

    They are put in on trial first, without their files, so that their squares have numbers
    by which all can be settled, and nobody has to wait for that.
    """
    with trial(sql):
        tried = _put_in(sql, name, side, rows, fresh, said, files=False)
    if tried is None:
        return False
    now, new = tried
    places = dict(zip(new, fresh, strict=True))
    derived = derived_bundle(
        sql,
        now,
        tell,
        new,
        lambda number: _read(*places[number]) if number in places else None,
        jobs=jobs,
    )
    with transaction(sql):
        done = _put_in(sql, name, side, rows, fresh, said)
        if done is None:
            return False
        now, final = done
        final_form = row_writing.under_numbers(derived, new, final)
        state = row_reading.state_of(now)
        row_writing.put_derived(sql, now.id, final_form, state)
        if now.choices:  # else all is open until sets are shown
            from catalog.catalogue.standing.choices import fresh_choice  # slow to load

            more = row_reading.record(sql, now.id, whole=False)
            choice = fresh_choice(row_reading.stored_bundle(more), "shown")
            if choice is not None:
                row_writing.put_event(sql, now.id, choice, now.version)
        digests.write_digests(sql, now.id)
        write_index(sql, now.id, state, final_form.swatches)
    return True


def _put_in(
    sql: sqlite3.Connection, name: str, side: Fraction | None, rows: Record | None,
    fresh: Sequence[tuple[PhotoAnalysis, Source]], said: LightHints, *, files: bool = True,
) -> tuple[Record, dict[int, Fresh]] | None:  # fmt: skip
    """Put photos in; give the bundle with them, and the numbers of their squares."""
    if rows is None:
        if bundle_list.known_id(sql, name) is not None:
            return None
        number = row_writing.insert(
            sql, "bundles", name=name, side=str(side or Fraction(5)), added_at=row_writing.now()
        )
    else:
        number = rows.id
        if not at_version(sql, number, rows.version):
            return None
    version = row_writing.rise(sql, number)
    new: dict[int, Fresh] = {}
    for looked, source in fresh:
        content = _read(looked, source) if files else b""
        photo, squares = row_writing.put_photo(sql, number, looked, content)
        new[photo] = (looked, squares)
        for event in _events(photo, said):
            row_writing.put_event(sql, number, RecordedEvent(event), version)
    return row_reading.record(sql, number, whole=False), new


def _events(photo: int, said: LightHints) -> list[Event]:
    """Return what is said of a new photo's light."""
    told: list[Event] = []
    if said.ground is not None:
        told.append(PhotoGround(photo, said.ground))
    if said.lamp is not None:
        told.append(PhotoLamp(photo, said.lamp))
    return told


def _sorted_out(
    rows: Record | None, photos: Sequence[tuple[PhotoAnalysis, Source]]
) -> tuple[list[tuple[PhotoAnalysis, Source]], tuple[str, ...], tuple[str, ...]]:
    """Part photos into new ones, those known by content, and those without squares."""
    seen = {digest for photo in rows.photos for digest in photo.digests} if rows else set()
    fresh, known, empty = [], [], []
    for looked, source in photos:
        if looked.digest in seen:
            known.append(looked.name)
        elif not looked.found.squares:
            empty.append(looked.name)
        else:
            fresh.append((looked, source))
        seen.add(looked.digest)
    return fresh, tuple(known), tuple(empty)


def _read(looked: PhotoAnalysis, source: Source) -> bytes:
    """Return a photo's file, refused where it is no longer the one that was looked at."""
    if isinstance(source, bytes):
        return source
    from catalog.photo import read_content

    content = read_content(source)
    if hashlib.sha256(content).hexdigest() != looked.digest:
        raise PhotoError(
            f"'{looked.name}' was changed while it was looked at, so nothing was added",
            "add it again once it stays as it is",
        )
    return content


def _same_side(rows: Record | None, side: Fraction | None) -> None:
    if rows is not None and side is not None and side != rows.side:
        raise CatalogueError(
            f"the squares of {rows.name} measure {rows.side} in",
            "leave --square out, or give these photos a bundle of their own",
        )
