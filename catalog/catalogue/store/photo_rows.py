"""A photo's rows: what is known of it, its file, the light it was measured in, and its crops."""

from __future__ import annotations

import hashlib
import sqlite3
from dataclasses import fields
from typing import TYPE_CHECKING, Final

from catalog.catalogue.store import digests
from catalog.errors import CatalogueError

if TYPE_CHECKING:
    from catalog.catalogue.records import StoredPhoto
    from catalog.models import Light

STANDING_PHOTOS: Final = """select p.* from photos p where p.id not in
    (select json_extract(d.args, '$.photo') from deeds d
    where d.bundle_id = p.bundle_id and d.kind = 'drop photo' and not d.undone)"""
"""The photos without those that were taken out."""


def photo_of(row: sqlite3.Row) -> StoredPhoto:
    """Return a photo from its row; those of an older catalogue have fewer columns."""
    from catalog.catalogue.records import StoredPhoto
    from catalog.catalogue.store import encoding

    known = {field.name for field in fields(StoredPhoto)}.intersection(row.keys())
    asked = encoding.question_of(row["light"]) if row["light"] is not None else None
    return StoredPhoto(**{name: row[name] for name in known}, question=asked)


def photo(connection: sqlite3.Connection, number: int) -> StoredPhoto | None:
    """Return the photo of a number; None for none."""
    row = connection.execute("select * from photos where id = ?", (number,)).fetchone()
    return photo_of(row) if row else None


def bundle_with(connection: sqlite3.Connection, name: str, digest: str) -> int | None:
    """Return the number of the bundle of a name if the photo of a digest stands in it."""
    row = connection.execute(
        f"""select b.id from bundles b join ({STANDING_PHOTOS}) p on p.bundle_id = b.id
        where b.name = ? and ? in (p.digest, p.file_digest)""",
        (name, digest),
    ).fetchone()
    return int(row["id"]) if row else None


def content_of_photo(connection: sqlite3.Connection, photo: int) -> bytes:
    """Return a photo's file."""
    row = connection.execute(
        "select p.*, f.content from photos p join photo_files f on f.photo_id = p.id where id = ?",
        (photo,),
    ).fetchone()
    if row is None:
        raise CatalogueError("a photo is missing from the catalogue", digests.CHECK_UP)
    if not is_as_stored(row, row["content"]):
        raise CatalogueError(f"the photo {row['name']} is not as it came", digests.CHECK_UP)
    return bytes(row["content"])


def is_as_stored(row: sqlite3.Row, content: object) -> bool:
    """Whether a photo's file is the one that was kept, by its row."""
    own = row["file_digest"] if "file_digest" in row.keys() else ""  # noqa: SIM118 - of a Row
    return type(content) is bytes and hashlib.sha256(content).hexdigest() == (own or row["digest"])


def light_of_photo(connection: sqlite3.Connection, photo: int) -> Light | None:
    """Return the light that a photo was last measured in."""
    from catalog.catalogue.store import encoding

    row = connection.execute("select light from photos where id = ?", (photo,)).fetchone()
    with digests.understood("a photo's light"):
        return encoding.light_of(row["light"]) if row and row["light"] is not None else None


def crop(connection: sqlite3.Connection, square: int) -> tuple[bytes, str] | None:
    """Return the crop of the square of a number, and its `picture_mark`; None for none."""
    row = connection.execute(
        """select c.jpeg, p.digest, p.measured_from from crops c
            join squares s on s.id = c.square_id join photos p on p.id = s.photo_id
        where c.square_id = ?""",
        (square,),
    ).fetchone()
    with digests.understood("a square's picture"):
        mark = picture_mark(row["digest"], row["measured_from"]) if row else ""
        return (bytes(row["jpeg"]), mark) if row else None


def picture_mark(digest: str, measured_from: str) -> str:
    """Return what changes whenever the crops of a photo's squares may."""
    return f"{digest[:12]}-{measured_from}"


def crops(connection: sqlite3.Connection, bundle: int) -> dict[int, bytes]:
    """Return the crops of a bundle's squares, by number."""
    rows = digests.sound_rows(connection, bundle, "crops")
    with digests.understood("the squares' pictures"):
        return {number: bytes(jpeg) for number, jpeg in rows}
