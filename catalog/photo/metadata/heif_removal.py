"""HEIF files (ISO/IEC 14496-12, 23008-12) with all but their pictures written over with zeros."""

from __future__ import annotations

import struct
from collections.abc import Iterator
from typing import Final

from catalog.photo.formats.heif_tiles import Box, boxes

_FILE, _IDAT = 0, 1
"""Where an item's bytes are: at a place in the file, or in the box ``idat`` (14496-12, 8.11.3)."""
_DATA: Final = frozenset({b"Exif", b"mime", b"uri "})
"""Kinds of items that say something of the picture (23008-12, annex A; 14496-12, 8.11.6)."""
_WHOLE: Final = frozenset({b"ftyp", b"meta"})
_IN_META: Final = 12
"""Bytes of the head of ``meta``, with version and flags."""


def heif_without_metadata(data: bytes) -> bytes:
    """Return a HEIF file of the same length without Exif, XMP, thumbnails and films.

    Raises
    ------
    struct.error, KeyError, ValueError
        It isn't built as it should be.
    """
    out = bytearray(len(data))
    boxes = list(_boxes(data, 0, len(data)))
    for name, start, inside, end in boxes:
        kept = end if name in _WHOLE else inside
        out[start:kept] = data[start:kept]
        if name not in {*_WHOLE, b"mdat"}:
            out[start + 4 : start + 8] = b"free"
    meta = {one[0]: one for one in boxes}[b"meta"]
    inner = {one[0]: one for one in _boxes(data, meta[1] + _IN_META, meta[3])}
    kinds = _kinds(data, inner[b"iinf"])
    gone = {number for number, (kind, _) in kinds.items() if kind in _DATA}
    gone |= _thumbnails(data, inner.get(b"iref"))
    idat = inner.get(b"idat", (b"", 0, 0, 0))
    out[idat[2] : idat[3]] = bytes(idat[3] - idat[2])
    for number, start, size in _extents(data, inner[b"iloc"], idat):
        if number not in gone:
            out[start : start + size] = data[start : start + size]
    for kind, at in kinds.values():
        if kind in _DATA:
            out[at : at + 4] = b"skip"
    return bytes(out)


def _boxes(data: bytes, start: int, end: int) -> Iterator[Box]:
    """Yield the boxes between two places, all of which must end there."""
    for box in boxes(data, start, end):
        if not box[2] <= box[3] <= end:
            raise ValueError("a box that ends nowhere")
        yield box


def _kinds(data: bytes, box: Box) -> dict[int, tuple[bytes, int]]:
    """Return each item's kind, and where that is told (14496-12, 8.11.6)."""
    _, _, inside, end = box
    found = {}
    for name, _, entry, _ in _boxes(data, inside + (8 if data[inside] else 6), end):
        version = data[entry]
        if name == b"infe" and version >= 2:
            form, at = (">H", entry + 8) if version == 2 else (">L", entry + 10)
            (number,) = struct.unpack_from(form, data, entry + 4)
            found[number] = (data[at : at + 4], at)
    return found


def _thumbnails(data: bytes, box: Box | None) -> set[int]:
    """Return the items that are small pictures of others (14496-12, 8.11.12)."""
    if box is None:
        return set()
    form = ">L" if data[box[2]] else ">H"
    return {
        struct.unpack_from(form, data, inside)[0]
        for name, _, inside, _ in _boxes(data, box[2] + 4, box[3])
        if name == b"thmb"
    }


def _extents(data: bytes, box: Box, idat: Box) -> Iterator[tuple[int, int, int]]:
    """Yield item, place and bytes of each piece of an item (14496-12, 8.11.3)."""
    at = box[2]
    version, sizes, more = data[at], data[at + 4], data[at + 5]
    widths = sizes >> 4, sizes & 15, more >> 4, (more & 15 if version else 0)
    reader = _Reader(data, at + 6)
    for _ in range(reader.number(4 if version == 2 else 2)):
        number = reader.number(4 if version == 2 else 2)
        how = reader.number(2) & 15 if version else _FILE
        reader.number(2)
        base = reader.number(widths[2])
        for _ in range(reader.number(2)):
            reader.number(widths[3])
            start, size = base + reader.number(widths[0]), reader.number(widths[1])
            if how in {_FILE, _IDAT}:
                yield number, start + (idat[2] if how == _IDAT else 0), size


class _Reader:
    """Whole numbers, one after another."""

    def __init__(self, data: bytes, at: int) -> None:
        self._data, self._at = data, at

    def number(self, width: int) -> int:
        """Return the next number of so many bytes, the highest first; 0 for none."""
        start, self._at = self._at, self._at + width
        if self._at > len(self._data):
            raise ValueError("cut off")
        return int.from_bytes(self._data[start : self._at], "big")
