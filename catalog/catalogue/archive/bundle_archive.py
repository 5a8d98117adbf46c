"""A bundle as one plain file, to keep, to send, and to take in elsewhere: exactly as it was."""

from __future__ import annotations

import base64
import hashlib
import re
import sqlite3
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from json import dumps, loads
from pathlib import Path
from typing import Any, Final

from catalog.catalogue.archive.archive_file import pack
from catalog.catalogue.archive.archive_index import FORMAT, VERSION
from catalog.catalogue.events.event_kinds import event_of
from catalog.catalogue.patterns.pattern_archive import patterns_along
from catalog.catalogue.store import bundle_list, digests, photo_rows
from catalog.catalogue.store.file_copy import written_beside
from catalog.catalogue.store.file_transactions import snapshot
from catalog.errors import OutputError


@dataclass(frozen=True)
class RowForm:
    """How the row of a table is told in an archive, and back."""

    plain: tuple[str, ...]
    """Columns that are told as they are."""
    json: tuple[tuple[str, str], ...] = ()
    """Members that hold what stands in a column as JSON, and the columns."""

    def told(self, row: sqlite3.Row) -> dict[str, Any]:
        """Return what an archive says of a row."""
        held = {member: loads(row[column] or "null") for member, column in self.json}
        return {column: row[column] for column in self.plain} | held

    def columns(self, told: Mapping[str, Any]) -> dict[str, Any]:
        """Return the columns of a row that an archive tells of."""
        held = {
            column: None if told[member] is None else dumps(told[member])
            for member, column in self.json
        }
        return {column: told[column] for column in self.plain} | held


PHOTO: Final = RowForm((
    "number", "name", "digest", "wide", "high", "cut_off", "pixels_per_inch", "added_at",
    "evidence", "expected_error", "unevenness", "measured_from",
))  # fmt: skip
SQUARE: Final = RowForm(("label",), (("seen", "seen"),))
EVENT: Final = RowForm(("number", "kind", "at", "made", "undone"))
SWATCH: Final = RowForm(
    ("place", "label", "lightness", "a", "b", "print_kind", "busyness", "colour_name", "value",
     "fabric", "family", "role", "uncertainty", "own_uncertainty", "state", "said"),
    (("outline", "square"), ("flags", "flags"), ("print", "print")),
)  # fmt: skip
COUNT: Final = RowForm(("at", "title", "pattern"), (("rules", "rules"), ("tally", "tally")))
SET: Final = RowForm(
    ("number", "need", "difference", "value_step", "family"), (("flags", "flags"),)
)


def export_bundle(
    connection: sqlite3.Connection, name: str, target: Path, *, over: bool = False,
    photo_data: bool = False, patterns: Sequence[str] = (),
) -> str:  # fmt: skip
    """Write a bundle with its photos and all that was said and done into one file.

    Parameters
    ----------
    connection : sqlite3.Connection
        An open catalogue, in no transaction.
    name : str
        Of the bundle, in any case.
    target : Path
    over : bool
        Whether a file of that name may be written over.
    photo_data : bool
        Whether what the photos' files say of place, time and camera goes with them.
    patterns : sequence of str
        Names of patterns that go along, beside those that its counts and projects are of.

    Returns
    -------
    str
        The bundle's name.

    Raises
    ------
    CatalogueError
        There is no such bundle, or no such pattern.
    OutputError
        The file is there already, or can't be written; nothing is half-written then.
    """
    with snapshot(connection):
        number = bundle_list.bundle_id(connection, name)
        digests.refuse_broken(connection, number)
        along = patterns_along(connection, number, patterns)
        with written_beside(target, over=over) as part:
            rows = _Rows(connection, number, photo_data=photo_data)
            pack(part, {**rows.index(), "patterns": along}, rows.files())
            return rows.name


class _Rows:
    """A bundle's rows under numbers of its own: photos by theirs, squares counted from 1."""

    def __init__(self, connection: sqlite3.Connection, number: int, *, photo_data: bool) -> None:
        self._sql = connection
        self._photo_data = photo_data
        self._bundle = number
        self.name: str = self._all("select name from bundles where id = ?")[0]["name"]
        photos = self._all("select id, number, name from photos where bundle_id = ? order by id")
        squares = self._all("select id from squares where bundle_id = ? order by id")
        self._photos = {row["id"]: row["number"] for row in photos}
        self._squares = {row["id"]: place for place, row in enumerate(squares, start=1)}
        self._files = {
            row["id"]: f"photos/{row['number']:03d}{_suffix(row['name'])}" for row in photos
        }

    def index(self) -> dict[str, Any]:
        """Return what ``bundle.json`` says."""
        bundle = self._all("select name, side, version, added_at from bundles where id = ?")[0]
        return {
            "format": FORMAT,
            "version": VERSION,
            "bundle": dict(bundle),
            "photos": [self._photo(row) for row in self._of("photos", "id")],
            "squares": [self._square(row) for row in self._of("squares", "id")],
            "deeds": [self._deed(row) for row in self._of("deeds", "number")],
            "swatches": [self._swatch(row) for row in self._of("swatches", "place")],
            "counts": [self._count(row) for row in self._of("counts", "id")],
        }

    def files(self) -> Iterator[tuple[str, bytes]]:
        """Yield the photos, lights and crops, one at a time."""
        for photo, file in self._files.items():
            yield file, self._content(photo)
            light = self._one("select light from photos where id = ?", photo)
            if light is not None:
                yield self._light_file(photo), light
        for square, number in self._squares.items():
            crop = self._one("select jpeg from crops where square_id = ?", square)
            if crop is not None:
                yield f"crops/{number:04d}.jpg", crop

    def _photo(self, row: sqlite3.Row) -> dict[str, Any]:
        light = self._light_file(row["id"]) if row["light"] is not None else None
        digest = hashlib.sha256(self._content(row["id"])).hexdigest()
        return {
            **PHOTO.told(row),
            "file": self._files[row["id"]],
            "file_digest": digest if digest != row["digest"] else "",
            "light": light,
        }

    def _content(self, photo: int) -> bytes:
        """Return a photo's file as it goes out."""
        from catalog.photo.metadata.removal import MetadataRemovalError, without_metadata

        content = photo_rows.content_of_photo(self._sql, photo)
        try:
            return content if self._photo_data else without_metadata(content)
        except MetadataRemovalError as error:
            raise OutputError(
                f"what '{self._files[photo]}' says of place and camera can't be taken out",
                "add --with-photo-data to export it as it came",
            ) from error

    def _square(self, row: sqlite3.Row) -> dict[str, Any]:
        number = self._squares[row["id"]]
        crop = self._one("select 1 from crops where square_id = ?", row["id"])
        return {
            "number": number,
            "photo": self._photos[row["photo_id"]],
            **SQUARE.told(row),
            "crop": f"crops/{number:04d}.jpg" if crop is not None else None,
        }

    def _deed(self, row: sqlite3.Row) -> dict[str, Any]:
        event = event_of(row["kind"], loads(row["args"]))
        args = event.renumbered(self._squares.__getitem__, self._photos.__getitem__).args
        return {**EVENT.told(row), "args": args}

    def _swatch(self, row: sqlite3.Row) -> dict[str, Any]:
        return {
            "square": self._squares[row["square_id"]],
            **SWATCH.told(row),
            "signature": base64.b64encode(row["signature"]).decode("ascii"),
        }

    def _count(self, row: sqlite3.Row) -> dict[str, Any]:
        squares: dict[int, list[int]] = {}
        for one in self._all(
            "select * from set_squares where count_id = ? order by number, place", row["id"]
        ):
            squares.setdefault(one["number"], []).append(self._squares[one["square_id"]])
        sets = self._all("select * from sets where count_id = ? order by number", row["id"])
        return {
            **COUNT.told(row),
            "enough": bool(row["enough"]),
            "sets": [{**SET.told(one), "squares": squares.get(one["number"], [])} for one in sets],
        }

    def _light_file(self, photo: int) -> str:
        return f"lights/{self._photos[photo]:03d}.npz"

    def _of(self, table: str, order: str) -> list[sqlite3.Row]:
        return self._all(f"select * from {table} where bundle_id = ? order by {order}")

    def _all(self, query: str, number: int | None = None) -> list[sqlite3.Row]:
        meant = self._bundle if number is None else number
        return self._sql.execute(query, (meant,)).fetchall()

    def _one(self, query: str, number: int) -> Any:  # noqa: ANN401 - one cell
        row = self._sql.execute(query, (number,)).fetchone()
        return row[0] if row else None


def _suffix(name: str) -> str:
    """Return the ending of a photo's name, or the usual one where it has none that is plain."""
    found = re.search(r"\.([A-Za-z0-9]{1,5})$", name)
    return f".{found[1].lower()}" if found else ".jpg"
