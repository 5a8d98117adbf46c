"""Of how many pictures a HEIF file's picture is put together (ISO/IEC 23008-12, 6.6.2)."""

from __future__ import annotations

import struct
from collections.abc import Iterator
from typing import Final

from catalog.photo.size_limits import MAX_SEGMENTS, TooMuchError, refuse_more

SPILT: Final = 4
"""To how many times the picture its tiles may come; of the last in a row and a column hardly
anything may be in it."""


def refuse_put_together(data: bytes) -> None:
    """Refuse a file whose pictures are laid over one another, or made of more tiles than a photo.

    What is referred to is counted over all its pictures, as one may be made of others that are
    made of others.

    Raises
    ------
    TooMuchError
    """
    for start, end in _inside(data, b"meta", 0, len(data)):
        if data.find(b"iovl", start, end) >= 0:
            msg = "lays pictures over one another, which no photo needs"
            raise TooMuchError(msg)
        tiles = 0
        for first, last in _inside(data, b"iref", start + 4, end):
            large = data[first : first + 1] == b"\1"
            for at, _ in _inside(data, b"dimg", first + 4, last):
                place = at + (4 if large else 2)
                tiles += int.from_bytes(data[place : place + 2], "big")
        refuse_more(tiles, MAX_SEGMENTS, "tiles")


def refuse_spilt(tiling: object, size: tuple[int, int]) -> None:
    """Refuse tiles that are decoded whole, and of which the picture shows but a corner.

    Parameters
    ----------
    tiling : dict
        As pillow-heif tells it; anything else is no tiling.
    size : (int, int)
        Width and height of the picture.

    Raises
    ------
    TooMuchError
    """
    if not isinstance(tiling, dict):
        return
    tiles = tiling["num_columns"] * tiling["num_rows"]
    if tiles * tiling["tile_width"] * tiling["tile_height"] > SPILT * size[0] * size[1]:
        msg = "is made of tiles larger than itself"
        raise TooMuchError(msg)


def _inside(data: bytes, name: bytes, start: int, end: int) -> Iterator[tuple[int, int]]:
    """Yield where the bodies of boxes of a name start and end (ISO/IEC 14496-12, 4.2)."""
    while start + 8 <= end:
        size, found = struct.unpack_from(">L4s", data, start)
        head = 8
        if size == 1 and start + 16 <= end:
            (size,), head = struct.unpack_from(">Q", data, start + 8), 16
        close = min(start + size, end) if size else end
        if found == name:
            yield start + head, close
        if close < start + head:
            return
        start = close
