"""TIFF files (TIFF 6.0, BigTIFF) with all but their first picture written over with zeros."""

from __future__ import annotations

import struct
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from catalog.photo.formats.tiff import TiffDirectory

_SIZES: Final = {1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8,
                 13: 4, 16: 8, 17: 8, 18: 8}  # fmt: skip
"""Bytes of a value of each type (TIFF 6.0, section 2)."""
_STRIPS, _STRIP_SIZES, _TILES, _TILE_SIZES = 273, 279, 324, 325
_JPEG, _JPEG_SIZE = 513, 514
"""Tags of where pixels are, and their bytes (TIFF 6.0, sections 8, 15 and 22)."""
_KEPT: Final = frozenset({
    254, 256, 257, 258, 259, 262, 266, 273, 274, 277, 278, 279, 280, 281, 282, 283, 284, 290, 291,
    292, 293, 296, 301, 317, 318, 319, 320, 321, 322, 323, 324, 325, 332, 334, 336, 338, 339, 340,
    341, 342, 347, 512, 513, 514, 515, 517, 518, 519, 520, 521, 529, 530, 531, 532, 34675,
})  # fmt: skip
"""Fields that say how the picture is stored, turned and coloured (TIFF 6.0, part 1 and sections
13 to 22); 34675 is the colour profile (ICC.1:2022, B.4)."""


@dataclass(frozen=True)
class _Field:
    at: int
    """Where it is listed."""
    tag: int
    kind: int
    count: int
    values_at: int
    bytes: int


def _kept_fields(tiff: TiffDirectory) -> Iterator[_Field]:
    """Yield the fields that are kept."""
    room = struct.calcsize(f"={tiff.place}")
    for at, tag, kind, count in tiff.entries():
        size = _SIZES.get(kind, 0) * count
        inside = at + 4 + room
        values = inside if size <= room else tiff.read(tiff.place, inside)[0]
        if tag in _KEPT and size:
            yield _Field(at, tag, kind, count, values, size)


def _numbers(tiff: TiffDirectory, field: _Field) -> tuple[int, ...]:
    """Return a field's values, whole numbers."""
    letter = {1: "B", 3: "H", 4: "L", 13: "L", 16: "Q", 18: "Q"}[field.kind]
    return tiff.read(f"{field.count}{letter}", field.values_at)


def tiff_without_metadata(data: bytes) -> bytes:
    """Return a TIFF file of the same length that holds its first picture and nothing else.

    Raises
    ------
    struct.error, KeyError
        It isn't built as it should be.
    """
    tiff = TiffDirectory(data)
    fields = list(_kept_fields(tiff))
    out = bytearray(len(data))
    out[: tiff.head] = data[: tiff.head]
    struct.pack_into(tiff.order + tiff.number, out, tiff.at, len(fields))
    for start, size in (*_pixels(tiff, fields), *((one.values_at, one.bytes) for one in fields)):
        out[start : start + size] = data[start : start + size]
    # Listed anew from the first place on; where the list ends, no further picture is named.
    directory = b"".join(data[one.at : one.at + tiff.each] for one in fields)
    end = tiff.end + struct.calcsize(f"={tiff.place}")
    out[tiff.first : end] = directory + bytes(end - tiff.first - len(directory))
    return bytes(out)


def _pixels(tiff: TiffDirectory, fields: list[_Field]) -> Iterator[tuple[int, int]]:
    """Yield where the picture's pixels start, and their bytes."""
    told = {one.tag: one for one in fields}
    for places, sizes in ((_STRIPS, _STRIP_SIZES), (_TILES, _TILE_SIZES), (_JPEG, _JPEG_SIZE)):
        if places in told and sizes in told:
            yield from zip(_numbers(tiff, told[places]), _numbers(tiff, told[sizes]), strict=False)
