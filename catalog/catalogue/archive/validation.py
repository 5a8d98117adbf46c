"""What an archive says, held against what calicount writes, before any of it is kept."""

from __future__ import annotations

import io
import re
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any, Final

import numpy as np

from catalog.catalogue.archive import archive_file, row_schemas
from catalog.catalogue.archive.archive_file import ArchiveFile, unfit
from catalog.catalogue.events.event_kinds import is_event
from catalog.catalogue.store import encoding
from catalog.photo.formats.jpeg import jpeg_end
from catalog.photo.size_limits import TooMuchError

Row = Mapping[str, Any]

TABLES: Final = {
    "photos": row_schemas.PHOTO,
    "squares": row_schemas.SQUARE,
    "deeds": row_schemas.DEED,
    "swatches": row_schemas.SWATCH,
    "counts": row_schemas.COUNT,
}
LARGEST_SIDE: Final = 100
"""Inches; no precut square is near that."""
MOST_CROP: Final = 1 << 16
"""Bytes of a square's picture (see `catalog.analysis`)."""
MOST_ACROSS: Final = 1024
"""Pixels across a square's picture."""
MOST_SIGNATURE: Final = 1 << 14
SIDE: Final = re.compile(r"[0-9]{1,6}(/[0-9]{1,6})?")
"""How the catalogue writes a side, inches; a number such as 1e999999999 would never be read."""


def judge(packed: ArchiveFile, index: Row) -> None:
    """Refuse what isn't in the form that calicount writes, and files that belong to nothing.

    Raises
    ------
    CatalogueError
        Something isn't.
    """
    head = index.get("bundle")
    whole = (
        index.keys() == {"format", "version", "bundle", *TABLES}
        and row_schemas.fits(head, {"name": row_schemas.text, "side": _side, "version": _version,
                              "added_at": row_schemas.text})
        and all(
            isinstance(index[table], list)
            and all(row_schemas.fits(row, form) for row in index[table])
            for table, form in TABLES.items()
        )
        and all(is_event(row["kind"], row["args"]) for row in index["deeds"])
    )  # fmt: skip
    names = [row["name"] for row in index["photos"]] if whole else []
    if not whole or len(set(names)) < len(names):
        raise unfit(packed.name, "its bundle.json isn't as calicount writes it")
    _judge_files(packed, index["photos"], index["squares"])


def _judge_files(packed: ArchiveFile, photos: Sequence[Row], squares: Sequence[Row]) -> None:
    named = [archive_file.INDEX]
    for folder, member in (
        *(("photos/", row["file"]) for row in photos),
        *(("lights/", row["light"]) for row in photos),
        *(("crops/", row["crop"]) for row in squares),
    ):
        if member is not None:
            if not member.startswith(folder):
                raise unfit(packed.name, f"{archive_file.shown(member)} is in the wrong place")
            named.append(member)
    strays = packed.members.keys() - set(named)
    if strays:
        raise unfit(packed.name, f"{archive_file.shown(min(strays))} belongs to nothing in it")


def _version(value: object) -> bool:
    """Whether a value can be a bundle's version: each change of it makes it larger."""
    return row_schemas.whole(value) and 1 <= int(str(value)) < 2**31


def _side(value: object) -> bool:
    """Whether a text is a length that a square can have."""
    try:
        told = isinstance(value, str) and SIDE.fullmatch(value) is not None
        return told and 0 < Fraction(str(value)) <= LARGEST_SIDE
    except ZeroDivisionError:
        return False


def is_crop(content: bytes) -> bool:
    """Whether a file is a JPEG no larger than a square's picture, in one scan as that is."""
    from PIL import Image

    if len(content) > MOST_CROP or not _in_one_scan(content):
        return False
    try:
        with Image.open(io.BytesIO(content), formats=("JPEG",)) as picture:
            fits = max(picture.size) <= MOST_ACROSS
            if fits:
                picture.load()
            return fits
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        return False


def _in_one_scan(content: bytes) -> bool:
    try:
        end = jpeg_end(content)
    except TooMuchError:
        return False
    return end is not None and end.one_scan


def is_signature(content: bytes) -> bool:
    """Whether bytes are a print's signature: numbers, and no more than one has."""
    return (
        len(content) % 4 == 0
        and len(content) <= MOST_SIGNATURE
        and bool(np.isfinite(encoding.signature_of(content)).all())
    )
