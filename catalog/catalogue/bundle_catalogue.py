"""The kept catalogue: bundles that stay, and everything that is done to them.

Every change is worked out on a snapshot first, which may take a second where a photo is measured
again, and then written in one transaction, if the bundle is still at the version it was worked out
for; otherwise it is worked out anew. So nothing is ever half written, no command waits long for
another, and none writes over what another did.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Self

from catalog.catalogue.photo_intake import Added, Source, add_photos
from catalog.catalogue.records import Kept, KeptPhoto, RecordedEvent
from catalog.catalogue.store import bundle_list, digests, photo_rows, row_reading, row_writing
from catalog.catalogue.store.bundle_list import BundleLine
from catalog.catalogue.store.catalogue_file import (
    PATIENCE,
    connect,
    connect_to_read,
    default_file,
    explained,
    snapshot,
    transaction,
)
from catalog.catalogue.store.row_reading import Record
from catalog.catalogue.transactions import (
    NextEvents,
    change_bundle,
    next_redone,
    next_undone,
)
from catalog.errors import CatalogueError
from catalog.models import Ground
from catalog.system.progress import Progress, unreported

if TYPE_CHECKING:
    from catalog.analysis import PhotoAnalysis
    from catalog.catalogue.events.event_base import Event


class Catalogue:
    """A catalogue file, open.

    Parameters
    ----------
    path : Path, optional
        Made if missing; where the environment says, or in the user's data folder, if None.
    patience : float
        Seconds for which to wait while another command writes.
    reading : bool
        Whether it is only looked at; nothing is made or changed then, and a file and a folder
        that may not be written to will do.

    Raises
    ------
    CatalogueError
        It can't be opened, or is no catalogue.
    """

    def __init__(
        self, path: Path | None = None, patience: float = PATIENCE, *, reading: bool = False
    ) -> None:
        self.path = path or default_file()
        self._sql = (connect_to_read if reading else connect)(self.path, patience)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        at: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the file."""
        self._sql.close()

    # ------------------------------------------------------------------ reading

    def lines(self) -> tuple[BundleLine, ...]:
        """List the bundles by name."""
        with explained(self.path), snapshot(self._sql):
            return bundle_list.lines(self._sql)

    def bundle(self, name: str) -> Kept:
        """Return a bundle as it stands."""
        with explained(self.path), snapshot(self._sql):
            return row_reading.kept(
                row_reading.record(self._sql, bundle_list.bundle_id(self._sql, name))
            )

    def numbered(self, number: int) -> Kept:
        """Return the bundle of a number as it stands, whatever it is called by now.

        Raises
        ------
        CatalogueError
            There is none.
        """
        with explained(self.path), snapshot(self._sql):
            return row_reading.kept(row_reading.record(self._sql, number))

    def head(self, number: int) -> tuple[str, int]:
        """Return the name and version of the bundle of a number.

        Raises
        ------
        CatalogueError
            There is none.
        """
        with explained(self.path):
            return bundle_list.head(self._sql, number)

    def photo(self, number: int) -> KeptPhoto | None:
        """Return the photo of a number; None for none."""
        with explained(self.path):
            return photo_rows.photo(self._sql, number)

    def crop(self, square: int) -> tuple[bytes, str] | None:
        """Return the crop of the square of a number as JPEG, and what changes with it.

        None where there is none.
        """
        with explained(self.path):
            return photo_rows.crop(self._sql, square)

    def content(self, photo: int) -> bytes:
        """Return a photo's file."""
        with explained(self.path), snapshot(self._sql):
            return photo_rows.content_of_photo(self._sql, photo)

    def crops(self, kept: Kept) -> Mapping[str, bytes]:
        """Return each live square's crop as JPEG, by label."""
        with explained(self.path), snapshot(self._sql):
            found = photo_rows.crops(self._sql, kept.id)
        # By number: in the catalogue a label may have changed hands since.
        return {label: found[one.id] for label, one in kept.by_label.items() if one.id in found}

    # ------------------------------------------------------------------ changing

    def add(
        self,
        name: str,
        side: Fraction | None,
        photos: Sequence[tuple[PhotoAnalysis, Source]],
        *,
        ground: Ground | None = None,
        tell: Progress = unreported,
    ) -> Added:
        """Add photos to a bundle, which is made if missing.

        Parameters
        ----------
        name : str
        side : Fraction, optional
            What the squares measure, inches; 5 for a new bundle if None.
        photos : sequence of (PhotoAnalysis, bytes or Path)
            Read without a problem, and the file or where it lies: from there it is read once more,
            which spares memory. Those that the bundle holds already are passed over.
        ground : optional
            What the squares of these photos lie on.
        tell : callable
            Told what is being done.

        Raises
        ------
        CatalogueError
            The bundle's squares are of another size; the name can't be kept.
        NoSquaresError
            None of the photos shows any.
        PhotoError
            A file is gone, or is no longer the one that was looked at; nothing is added then.
        """
        with explained(self.path):
            return add_photos(self._sql, bundle_list.fit_name(name), side, photos, ground, tell)

    def do(
        self,
        name: str,
        events: Sequence[Event],
        *,
        seen_version: int | None = None,
        tell: Progress = unreported,
    ) -> Kept:
        """Do events to a bundle, all or none.

        Parameters
        ----------
        name : str
        events : sequence of Event
        seen_version : int, optional
            The version that the one who asks last saw.
        tell : callable
            Told what is being done.

        Raises
        ------
        StaleError
            The bundle has another version by now.
        """

        def next_events(rows: Record) -> tuple[RecordedEvent, ...]:
            made, at = rows.version + 1, row_writing.now()
            return (*rows.events, *(RecordedEvent(one, made=made, at=at) for one in events))

        return self._change(name, next_events, seen_version, tell)

    def undo(
        self, name: str, number: int | None = None, *, seen_version: int | None = None,
        tell: Progress = unreported,
    ) -> Kept:  # fmt: skip
        """Undo what was done last, all that was done with it, or the event of a number."""

        def undone(rows: Record) -> tuple[RecordedEvent, ...]:
            last = next_undone(rows.events, number)
            if last is None:
                raise _nothing_to("undo", rows, number)
            return tuple(
                replace(one, undone=rows.version + 1)
                if one == last or (number is None and one.made == last.made and not one.undone)
                else one
                for one in rows.events
            )

        return self._change(name, undone, seen_version, tell)

    def redo(
        self, name: str, number: int | None = None, *, seen_version: int | None = None,
        tell: Progress = unreported,
    ) -> Kept:  # fmt: skip
        """Do again what was undone last, if nothing was done since; or the event of a number."""

        def redone(rows: Record) -> tuple[RecordedEvent, ...]:
            again = next_redone(rows.events, number)
            if again is None:
                raise _nothing_to("do again", rows, number)
            return tuple(
                replace(one, undone=0)
                if one == again or (number is None and one.undone == again.undone)
                else one
                for one in rows.events
            )

        return self._change(name, redone, seen_version, tell)

    def rename(self, name: str, other: str) -> None:
        """Give a bundle another name."""
        other = bundle_list.fit_name(other)
        with explained(self.path), transaction(self._sql):
            number = bundle_list.bundle_id(self._sql, name)
            digests.refuse_broken(self._sql, number, ("bundle",))
            taken = self._sql.execute(
                "select id from bundles where name = ? and id <> ?", (other, number)
            ).fetchone()
            if taken:
                raise CatalogueError(f"there is a bundle {other} already", "choose another name")
            self._sql.execute("update bundles set name = ? where id = ?", (other, number))
            row_writing.rise(self._sql, number)
            digests.write_digests(self._sql, number, ("bundle",))

    def remove(self, name: str) -> None:
        """Remove a bundle with its photos and all that was said of it."""
        with explained(self.path), transaction(self._sql):
            number = bundle_list.bundle_id(self._sql, name)
            self._sql.execute("delete from bundles where id = ?", (number,))
            digests.remove_digests(self._sql, number)

    def keep_count(
        self, kept: Kept, head: Mapping[str, str | int],
        sets: Sequence[tuple[int, str, float, float, str, str, tuple[int, ...]]],
    ) -> None:  # fmt: skip
        """Keep a count of a bundle; see `catalog.catalogue.store.row_writing.put_count`."""
        with explained(self.path), transaction(self._sql):
            bundle_list.head(self._sql, kept.id)  # says so if it has been removed meanwhile
            digests.refuse_broken(self._sql, kept.id, ("counts",))
            count = row_writing.put_count(self._sql, kept.id, head, sets)
            digests.write_digests(self._sql, kept.id, ("counts", digests.part_of_count(count)))

    # ------------------------------------------------------------------ inside

    @property
    def connection(self) -> sqlite3.Connection:
        """The open database, for `catalog.catalogue`'s own modules."""
        return self._sql

    def _change(
        self, name: str, next_events: NextEvents, seen_version: int | None, tell: Progress
    ) -> Kept:
        with explained(self.path):
            return change_bundle(self._sql, name, next_events, seen_version, tell)


def _nothing_to(what: str, rows: Record, number: int | None) -> CatalogueError:
    """Return the error of an undoing or redoing that has nothing to work on."""
    lists = f"calicount history {_quoted(rows.name)} lists what was done"
    if number is None:
        return CatalogueError(f"there is nothing to {what} in {rows.name}", lists)
    if not any(one.number == number for one in rows.events):
        return CatalogueError(f"the history of {rows.name} has no number {number}", lists)
    holds = "is taken back already" if what == "undo" else "holds as it is"
    return CatalogueError(f"number {number} in the history of {rows.name} {holds}", lists)


def _quoted(name: str) -> str:
    return f'"{name}"' if " " in name else name
