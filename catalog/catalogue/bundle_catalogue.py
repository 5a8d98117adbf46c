"""The kept catalogue: bundles that stay, and everything that is done to them.

Every change is worked out on a snapshot first, which may take a second where a photo is measured
again, and then written in one transaction, if the bundle is still at the version it was worked out
for; otherwise it is worked out anew. So nothing is ever half written, no command waits long for
another, and none writes over what another did.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Mapping, Sequence
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Final, Self, TypeVar

from catalog.catalogue.index import picture_index
from catalog.catalogue.photo_intake import Added, Source, add_photos, of_another_kind
from catalog.catalogue.records import RecordedEvent, StoredBundle, StoredPhoto
from catalog.catalogue.store import bundle_list, digests, photo_rows, row_reading, row_writing
from catalog.catalogue.store.bundle_list import BundleLine
from catalog.catalogue.store.catalogue_file import (
    PATIENCE,
    connect,
    connect_to_read,
    default_file,
    explained,
)
from catalog.catalogue.store.file_transactions import snapshot, transaction
from catalog.catalogue.store.row_reading import Record
from catalog.catalogue.transactions import NextEvents, bundle_after, change_bundle
from catalog.catalogue.undoing import redone, undone
from catalog.errors import CatalogueError
from catalog.models import Ground, Light, LightHints
from catalog.system.progress import Progress, unreported

if TYPE_CHECKING:
    from catalog.analysis import PhotoAnalysis
    from catalog.catalogue.events.event_base import Event
    from catalog.catalogue.events.standing_events import After
    from catalog.catalogue.standing.standing_records import StandingSet

_Found = TypeVar("_Found")


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
    tell : callable
        Told where an older calicount's file is brought up to date and that takes long.

    Raises
    ------
    CatalogueError
        It can't be opened, or is no catalogue.
    """

    def __init__(
        self,
        path: Path | None = None,
        patience: float = PATIENCE,
        *,
        reading: bool = False,
        tell: Progress = unreported,
    ) -> None:
        self.path = path or default_file()
        self.connection: Final = (
            connect_to_read(self.path, patience) if reading else connect(self.path, patience, tell)
        )

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Close the file."""
        self.connection.close()

    def read(self, reading: Callable[[sqlite3.Connection], _Found]) -> _Found:
        """Read one state of the file, whatever is written meanwhile."""
        with explained(self.path), snapshot(self.connection):
            return reading(self.connection)

    def lines(self) -> tuple[BundleLine, ...]:
        """List the bundles by name."""
        return self.read(bundle_list.lines)

    def bundle(self, name: str) -> StoredBundle:
        """Return a bundle as it stands."""
        return self.read(lambda sql: _kept(sql, bundle_list.bundle_id(sql, name)))

    def numbered(self, number: int) -> StoredBundle:
        """Return the bundle of a number as it stands, whatever it is called by now.

        Raises
        ------
        CatalogueError
            There is none.
        """
        return self.read(lambda sql: _kept(sql, number))

    def head(self, number: int) -> tuple[str, int]:
        """Return the name and version of the bundle of a number.

        Raises
        ------
        CatalogueError
            There is none.
        """
        return self.read(lambda sql: bundle_list.head(sql, number))

    def versions(self) -> Mapping[int, int]:
        """Return the version of each bundle, by number."""
        return self.read(bundle_list.versions)

    def changes(self) -> int:
        """Return a number that is another once anyone else has written to the file.

        It is compared with what the same open catalogue gave before, and costs next to nothing.
        """
        with explained(self.path):
            (number,) = self.connection.execute("pragma data_version").fetchone()
        return int(number)

    def photo(self, number: int) -> StoredPhoto | None:
        """Return the photo of a number; None for none."""
        return self.read(lambda sql: photo_rows.photo(sql, number))

    def light(self, photo: int) -> Light | None:
        """Return the light that a photo was last measured in."""
        return self.read(lambda sql: photo_rows.light_of_photo(sql, photo))

    def crop(self, square: int) -> tuple[bytes, str] | None:
        """Return the crop of the square of a number as JPEG, and what changes with it.

        None where there is none.
        """
        return self.read(lambda sql: photo_rows.crop(sql, square))

    def pictured(self, number: int) -> tuple[bytes, ...]:
        """Return crops, JPEG, of squares from all over a bundle's colours, in rainbow order."""

        def found(sql: sqlite3.Connection) -> tuple[bytes, ...]:
            squares = picture_index.squares_of_picture(sql, number)
            crops = [photo_rows.crop(sql, square) for square in squares]
            return tuple(one[0] for one in crops if one is not None)

        return self.read(found)

    def content(self, photo: int) -> bytes:
        """Return a photo's file."""
        return self.read(lambda sql: photo_rows.content_of_photo(sql, photo))

    def crops(self, kept: StoredBundle) -> Mapping[str, bytes]:
        """Return each live square's crop as JPEG, by label."""
        found = self.read(lambda sql: photo_rows.crops(sql, kept.id))
        # By number: in the catalogue a label may have changed hands since.
        return {label: found[one.id] for label, one in kept.by_label.items() if one.id in found}

    def add(
        self,
        name: str,
        side: Fraction | None,
        photos: Sequence[tuple[PhotoAnalysis, Source]],
        *,
        ground: Ground | None = None,
        lamp: bool | None = None,
        another_kind: bool = False,
        tell: Progress = unreported,
        jobs: int | None = 1,
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
        lamp : optional
            Whether a lamp was on.
        another_kind : bool
            Whether these photos' squares may measure something else than the bundle's.
        tell : callable
            Told what is being done.
        jobs : int, optional
            Processes that measure photos again whose light changes; None for as many as cores.

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
            fit = bundle_list.fit_name(name)
            said = LightHints(ground=ground, lamp=lamp)
            if another_kind:
                own = self.read(lambda sql: bundle_list.known_side(sql, fit))
                photos, side = of_another_kind(photos, side, own), own or side
            return add_photos(self.connection, fit, side, photos, said, tell, jobs)

    def do(
        self,
        name: str,
        events: Sequence[Event],
        *,
        seen_version: int | None = None,
        tell: Progress = unreported,
    ) -> StoredBundle:
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

        return self._change(name, next_events, seen_version, tell, "done")

    def undo(
        self, name: str, number: int | None = None, *, seen_version: int | None = None,
        tell: Progress = unreported,
    ) -> StoredBundle:  # fmt: skip
        """Undo what was done last, all that was done with it, or the event of a number."""
        return self._change(name, lambda rows: undone(rows, number), seen_version, tell, "undone")

    def redo(
        self, name: str, number: int | None = None, *, seen_version: int | None = None,
        tell: Progress = unreported,
    ) -> StoredBundle:  # fmt: skip
        """Do again what was undone last, if nothing was done since; or the event of a number."""
        return self._change(name, lambda rows: redone(rows, number), seen_version, tell, "shown")

    def rename(self, name: str, other: str) -> None:
        """Give a bundle another name."""
        other = bundle_list.fit_name(other)
        with explained(self.path), transaction(self.connection):
            number = bundle_list.bundle_id(self.connection, name)
            digests.refuse_broken(self.connection, number, ("bundle",))
            taken = self.connection.execute(
                "select id from bundles where name = ? and id <> ?", (other, number)
            ).fetchone()
            if taken:
                raise CatalogueError(f"there is a bundle {other} already", "choose another name")
            self.connection.execute("update bundles set name = ? where id = ?", (other, number))
            row_writing.rise(self.connection, number)
            digests.write_digests(self.connection, number, ("bundle",))

    def remove(self, name: str) -> None:
        """Remove a bundle with its photos and all that was said of it."""
        with explained(self.path), transaction(self.connection):
            number = bundle_list.bundle_id(self.connection, name)
            self.connection.execute("delete from bundles where id = ?", (number,))
            digests.remove_digests(self.connection, number)

    def keep_count(
        self, kept: StoredBundle, head: Mapping[str, str | int],
        sets: Sequence[tuple[int, str, float, float, str, str, tuple[int, ...]]],
    ) -> None:  # fmt: skip
        """Keep a count of a bundle; see `catalog.catalogue.store.row_writing.put_count`."""
        with explained(self.path), transaction(self.connection):
            bundle_list.head(self.connection, kept.id)  # says so if it has been removed meanwhile
            digests.refuse_broken(self.connection, kept.id, ("counts",))
            part = digests.part_of_count(
                row_writing.put_count(self.connection, kept.id, head, sets)
            )
            digests.write_digests(self.connection, kept.id, ("counts", part))

    def preview(
        self, kept: StoredBundle, events: Sequence[Event], tell: Progress = unreported
    ) -> StoredBundle:
        """Return a bundle as it would be after events, and do nothing.

        A photo is measured again where its outlines or its light would change.
        """
        with explained(self.path), snapshot(self.connection):
            return bundle_after(self.connection, kept, events, tell)

    def stand(self, kept: StoredBundle, sets: Iterable[StandingSet] | None = None) -> StoredBundle:
        """Let the sets that are shown of a bundle stay as they are.

        Parameters
        ----------
        kept : StoredBundle
        sets : iterable of StandingSet, optional
            As `catalog.catalogue.standing.choices.chosen_sets` gives them, if they are known.

        Returns
        -------
        StoredBundle
            At the same version.
        """
        from catalog.catalogue.standing.shown_sets import stand  # slow to load

        with explained(self.path):
            return stand(self.connection, kept, sets)

    def _change(
        self, name: str, next_events: NextEvents, seen_version: int | None, tell: Progress,
        after: After,
    ) -> StoredBundle:  # fmt: skip
        with explained(self.path):
            return change_bundle(self.connection, name, next_events, seen_version, tell, after)


def _kept(sql: sqlite3.Connection, number: int) -> StoredBundle:
    return row_reading.stored_bundle(row_reading.record(sql, number))
