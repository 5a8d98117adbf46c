"""TIFF files (TIFF 6.0): their first directory, walked before Pillow makes lists of it."""

from __future__ import annotations

import struct
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from catalog.photo.size_limits import MAX_PIXEL_PARTS, MAX_SEGMENTS, TooMuchError, refuse_more

if TYPE_CHECKING:
    from PIL.ImageFile import ImageFile

WIDTH, HEIGHT, BITS, ROWS, TILE_WIDTH, TILE_HEIGHT = 256, 257, 258, 278, 322, 323
_REDUCED = 254
"""NewSubfileType; bit 0 marks a small preview of a picture kept elsewhere."""
_OF_BYTES = frozenset({1, 2, 6, 7})
"""Types of fields that hold bytes or text, such as a colour profile."""


def refuse_tiff_floods(data: bytes) -> None:
    """Refuse a TIFF file whose first directory lists more than a photo has.

    Raises
    ------
    TooMuchError
    """
    for number, (kind, count) in enumerate(_fields(data), 1):
        refuse_more(number, MAX_SEGMENTS, "fields")
        if kind not in _OF_BYTES:
            refuse_more(count, MAX_PIXEL_PARTS, "strips or tiles")


def _fields(data: bytes) -> Iterator[tuple[int, int]]:
    """Yield type and count of each field; nothing where the file is too short."""
    order = "<" if data[:2] == b"II" else ">"
    large = data[2:4] in {b"+\0", b"\0+"}
    start, number, field = ("Q", "Q", "HHQ8x") if large else ("L", "H", "HHL4x")
    try:
        (at,) = struct.unpack_from(order + start, data, 8 if large else 4)
        (several,) = struct.unpack_from(order + number, data, at)
        at += struct.calcsize(order + number)
        size = struct.calcsize(order + field)
        for place in range(at, at + several * size, size):
            _, kind, count = struct.unpack_from(order + field, data, place)
            yield kind, count
    except (struct.error, OverflowError):
        return


def is_preview(image: ImageFile) -> bool:
    """Tell whether an opened file's first picture is a small preview of another.

    A field of another type than a whole number is passed over, as TIFF 6.0 (page 16) asks of
    readers.
    """
    told = getattr(image, "tag_v2", {}).get(_REDUCED, 0)
    return isinstance(told, int) and bool(told & 1)


def strip_share(image: ImageFile) -> float:
    """Return the bytes that a strip or tile holds when it is unpacked, for each pixel of the photo.

    Raises
    ------
    TooMuchError
        Its strips give the same pixels again and again.
    """
    tags: Any = getattr(image, "tag_v2", None)
    if tags is None:
        return 0
    wide, high = tags[WIDTH], tags[HEIGHT]
    bits = tags.get(BITS, 1)
    bands = len(bits) if isinstance(bits, tuple) else 1
    given = (tile.extents for tile in image.tile if tile.extents is not None)
    if sum((x1 - x0) * (y1 - y0) for x0, y0, x1, y1 in given) > bands * wide * high:
        msg = "holds the same pixels several times"
        raise TooMuchError(msg)
    if len(image.tile) == 1 and image.tile[0].codec_name == "raw":  # read some kilobytes at a time
        return 0
    across, down = tags.get(TILE_WIDTH, wide), tags.get(TILE_HEIGHT, tags.get(ROWS, high))
    rows = min(down, high) if TILE_HEIGHT not in tags else down
    depth = sum(bits) if isinstance(bits, tuple) else bits
    return float(across * rows * depth / 8 / (wide * high))
