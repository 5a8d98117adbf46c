"""What an archive says, held against what calicount writes, before any of it is kept."""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any, Final

import msgspec
import numpy as np

from catalog.bundle.print_likeness import LOOK_TERMS, PRINT_TERMS
from catalog.catalogue.archive import archive_file, archive_index
from catalog.catalogue.archive.archive_file import ArchiveFile
from catalog.catalogue.archive.archive_index import unfit
from catalog.catalogue.archive.row_schemas import ArchiveIndex
from catalog.catalogue.events.event_kinds import is_event
from catalog.catalogue.store import encoding
from catalog.photo.formats.jpeg import jpeg_end
from catalog.photo.size_limits import TooMuchError

Row = Mapping[str, Any]

MAX_SIDE: Final = 100
"""Inches; no precut square is near that."""
MAX_CROP_BYTES: Final = 1 << 16
"""Bytes of a square's picture (see `catalog.analysis`)."""
MAX_CROP_PX: Final = 1024
"""Pixels across a square's picture."""
SIGNATURE_BYTES: Final = (4 * PRINT_TERMS, 4 * (PRINT_TERMS + LOOK_TERMS))
"""Bytes of a print's signature, without and with what the fabric network says."""


def judge(packed: ArchiveFile, index: Row) -> None:
    """Refuse what isn't in the form that calicount writes, and files that belong to nothing.

    Raises
    ------
    CatalogueError
        Something isn't.
    """
    if not _is_as_written(index):
        raise unfit(packed.name, "its bundle.json isn't as calicount writes it")
    _judge_files(packed, index["photos"], index["squares"])


def _is_as_written(index: Row) -> bool:
    try:
        read = msgspec.convert(index, ArchiveIndex)
        side_fits = 0 < Fraction(read.bundle.side) <= MAX_SIDE
    except (msgspec.ValidationError, UnicodeError, ZeroDivisionError):
        return False
    names = {photo.name for photo in read.photos}
    known = all(is_event(event.kind, event.args) for event in read.deeds)
    return side_fits and known and len(names) == len(read.photos)


def _judge_files(packed: ArchiveFile, photos: Sequence[Row], squares: Sequence[Row]) -> None:
    named = [archive_index.INDEX]
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


def is_crop(content: bytes) -> bool:
    """Whether a file is a JPEG no larger than a square's picture, in one scan as that is."""
    from PIL import Image

    if len(content) > MAX_CROP_BYTES or not _in_one_scan(content):
        return False
    try:
        with Image.open(io.BytesIO(content), formats=("JPEG",)) as picture:
            fits = max(picture.size) <= MAX_CROP_PX
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
    """Whether bytes are a print's signature: numbers, as many as one has."""
    return len(content) in SIGNATURE_BYTES and bool(
        np.isfinite(encoding.signature_of(content)).all()
    )
