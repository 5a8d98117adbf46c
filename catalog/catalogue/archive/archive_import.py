"""An exported bundle into the catalogue: exactly as it was, and nothing of it trusted."""

from __future__ import annotations

import base64
import binascii
import hashlib
import json
import sqlite3
from collections.abc import Mapping
from functools import partial
from pathlib import Path

from msgspec import structs

from catalog.catalogue.archive import archive_file, archive_index
from catalog.catalogue.archive.archive_file import ArchiveFile
from catalog.catalogue.archive.archive_index import unfit
from catalog.catalogue.archive.bundle_archive import COUNT, EVENT, PHOTO, SET, SQUARE, SWATCH
from catalog.catalogue.archive.validation import Row, is_crop, is_signature, judge
from catalog.catalogue.events.event_kinds import ReservedSets, event_of
from catalog.catalogue.index.index_writing import rewrite_index
from catalog.catalogue.patterns.pattern_archive import taken_patterns
from catalog.catalogue.store import bundle_list, digests
from catalog.catalogue.store.bundle_integrity import bundle_faults
from catalog.catalogue.store.file_transactions import transaction
from catalog.catalogue.store.row_writing import insert
from catalog.errors import CatalogueError


def import_bundle(connection: sqlite3.Connection, source: Path, name: str | None = None) -> str:
    """Take an exported bundle into the catalogue, all of it or nothing.

    Parameters
    ----------
    connection : sqlite3.Connection
        In no transaction.
    source : Path
        The file that `catalog.catalogue.archive.bundle_archive.export_bundle` wrote.
    name : str, optional
        What to call the bundle, which is given back; the name that it had if None.

    Raises
    ------
    CatalogueError
        There is a bundle of that name, or the file isn't whole, isn't a bundle, or doesn't agree
        with itself.
    """
    with archive_file.opened(source) as packed:
        index = packed.index()
        judge(packed, index)
        index = archive_index.cleaned(index)
        called = bundle_list.fit_name(name or index["bundle"]["name"])
        with transaction(connection):
            _refuse_taken(connection, called)
            try:
                names = taken_patterns(connection, index["patterns"])
                number = _Taking(connection, packed, index, names).put(called)
            except CatalogueError as error:
                raise unfit(packed.name, error.problem) from error
            except (sqlite3.IntegrityError, KeyError) as error:
                raise unfit(packed.name, "its parts don't agree with each other") from error
            digests.write_bundle_digests(connection, number)
            rewrite_index(connection, number)
            fault = next(iter(bundle_faults(connection, number, called)), None)
            if fault is not None:
                raise unfit(packed.name, fault.what)
    return called


class _Taking:
    """The rows of an archive on their way into the catalogue, under new numbers."""

    def __init__(
        self,
        connection: sqlite3.Connection,
        packed: ArchiveFile,
        index: Row,
        names: Mapping[str, str],
    ) -> None:
        self._names = names
        self._insert = partial(insert, connection)
        self._packed = packed
        self._index = index
        self._photos: dict[int, int] = {}
        self._squares: dict[int, int] = {}

    def put(self, name: str) -> int:
        """Insert all rows; give the bundle's number."""
        number = self._insert("bundles", **{**self._index["bundle"], "name": name})
        for table, put in (
            ("photos", self._photo),
            ("squares", self._square),
            ("deeds", self._event),
            ("swatches", self._swatch),
            ("counts", self._count),
        ):
            for row in self._index[table]:
                put(number, row)
        return number

    def _photo(self, bundle: int, row: Row) -> None:
        content = self._packed.read(row["file"])
        if hashlib.sha256(content).hexdigest() != (row["file_digest"] or row["digest"]):
            raise unfit(self._packed.name, f"the photo {row['name']} is not as it was")
        light = None
        if row["light"] is not None:
            light = self._packed.read(row["light"])
            if not archive_file.npz_fits(light):
                raise unfit(self._packed.name, f"the light of {row['name']} can't be read")
        photo = self._insert(
            "photos", **PHOTO.columns(row), file_digest=row["file_digest"], bundle_id=bundle,
            light=light,
        )  # fmt: skip
        self._insert("photo_files", photo_id=photo, content=content)
        self._photos[row["number"]] = photo

    def _square(self, bundle: int, row: Row) -> None:
        photo = self._photos[row["photo"]]
        square = self._insert("squares", **SQUARE.columns(row), bundle_id=bundle, photo_id=photo)
        self._squares[row["number"]] = square
        if row["crop"] is not None:
            jpeg = self._packed.read(row["crop"])
            if not is_crop(jpeg):
                raise unfit(self._packed.name, f"the picture of {row['label']} is none")
            self._insert("crops", square_id=square, jpeg=jpeg)

    def _event(self, bundle: int, row: Row) -> None:
        event = event_of(row["kind"], row["args"])
        if isinstance(event, ReservedSets):
            event = structs.replace(event, pattern=self._pattern(event.pattern))
        args = event.renumbered(self._squares.__getitem__, self._photos.__getitem__).args
        self._insert("deeds", **EVENT.columns(row), bundle_id=bundle, args=json.dumps(args))

    def _pattern(self, name: str) -> str:
        """Return what a pattern is called here."""
        return self._names.get(name.casefold(), name)

    def _swatch(self, bundle: int, row: Row) -> None:
        try:
            signature = base64.b64decode(row["signature"], validate=True)
        except binascii.Error as error:
            raise unfit(self._packed.name, f"the print of {row['label']} is lost") from error
        if not is_signature(signature):
            raise unfit(self._packed.name, f"the print of {row['label']} is lost")
        self._insert(
            "swatches", **SWATCH.columns(row), square_id=self._squares[row["square"]],
            bundle_id=bundle, signature=signature,
        )  # fmt: skip

    def _count(self, bundle: int, row: Row) -> None:
        told = {**COUNT.columns(row), "pattern": self._pattern(row["pattern"])}
        count = self._insert("counts", **told, bundle_id=bundle, enough=int(row["enough"]))
        for one in row["sets"]:
            self._insert("sets", **SET.columns(one), count_id=count)
            for place, square in enumerate(one["squares"], start=1):
                self._insert(
                    "set_squares", count_id=count, number=one["number"], place=place,
                    square_id=self._squares[square],
                )  # fmt: skip


def _refuse_taken(connection: sqlite3.Connection, name: str) -> None:
    if bundle_list.known_id(connection, name) is not None:
        raise CatalogueError(
            f"there is a bundle {name} already", "take it in under another name with --as"
        )
