"""TIFF files (TIFF 6.0): their first directory, walked before Pillow makes lists of it."""

from __future__ import annotations

import contextlib
import struct
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from catalog.photo.size_limits import MAX_PIXEL_PARTS, MAX_SEGMENTS, TooMuchError, refuse_more

if TYPE_CHECKING:
    from PIL.ImageFile import ImageFile

WIDTH, HEIGHT, BITS, ROWS, TILE_WIDTH, TILE_HEIGHT = 256, 257, 258, 278, 322, 323
"""Tags (TIFF 6.0, sections 8 and 15)."""
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
    with contextlib.suppress(struct.error, OverflowError):  # too short, as its reader will find
        for number, (_, _, kind, count) in enumerate(TiffDirectory(data).entries(), 1):
            refuse_more(number, MAX_SEGMENTS, "fields")
            if kind not in _OF_BYTES:
                refuse_more(count, MAX_PIXEL_PARTS, "strips or tiles")


class TiffDirectory:
    """A TIFF file's first directory.

    Parameters
    ----------
    data : bytes
        The whole file.

    Raises
    ------
    struct.error, OverflowError
        It is too short.
    """

    def __init__(self, data: bytes) -> None:
        self.data = data
        self.order = "<" if data[:2] == b"II" else ">"
        self.large = data[2:4] in {b"+\0", b"\0+"}
        self.place, self.number = ("Q", "Q") if self.large else ("L", "H")
        self.head = 16 if self.large else 8
        (self.at,) = self.read(self.place, 8 if self.large else 4)
        (self.several,) = self.read(self.number, self.at)
        self.first = self.at + struct.calcsize(f"={self.number}")
        self.each = 20 if self.large else 12
        self.end = self.first + self.several * self.each

    def entries(self) -> Iterator[tuple[int, int, int, int]]:
        """Yield where each field is listed, its tag, type and count."""
        for at in range(self.first, self.end, self.each):
            tag, kind, count = self.read(f"HH{self.place}", at)
            yield at, tag, kind, count

    def read(self, form: str, at: int) -> tuple[int, ...]:
        """Return the numbers of a form, as of `struct`, at a place of the file."""
        return struct.unpack_from(self.order + form, self.data, at)


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
        raise TooMuchError("holds the same pixels several times")
    if len(image.tile) == 1 and image.tile[0].codec_name == "raw":  # read some kilobytes at a time
        return 0
    across, down = tags.get(TILE_WIDTH, wide), tags.get(TILE_HEIGHT, tags.get(ROWS, high))
    rows = min(down, high) if TILE_HEIGHT not in tags else down
    depth = sum(bits) if isinstance(bits, tuple) else bits
    return float(across * rows * depth / 8 / (wide * high))
