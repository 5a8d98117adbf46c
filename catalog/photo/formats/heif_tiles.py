"""Of how many pictures a HEIF file's picture is put together (ISO/IEC 23008-12, 6.6.2)."""

from __future__ import annotations

import struct
from collections.abc import Iterator
from typing import Final

from catalog.photo.size_limits import MAX_SEGMENTS, TooMuchError, refuse_more

Box = tuple[bytes, int, int, int]
"""Name, where it starts, where what it holds starts, and where it ends."""

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
    for start, end in _named(data, b"meta", 0, len(data)):
        if data.find(b"iovl", start, end) >= 0:
            raise TooMuchError("lays pictures over one another, which no photo needs")
        tiles = 0
        for first, last in _named(data, b"iref", start + 4, end):
            large = data[first : first + 1] == b"\1"
            for at, _ in _named(data, b"dimg", first + 4, last):
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
        raise TooMuchError("is made of tiles larger than itself")


def boxes(data: bytes, start: int, end: int) -> Iterator[Box]:
    """Yield the boxes between two places (ISO/IEC 14496-12, 4.2); the last may end beyond them."""
    while start + 8 <= end:
        size, name = struct.unpack_from(">L4s", data, start)
        inside = start + 8
        if size == 1 and start + 16 <= end:
            (size,), inside = struct.unpack_from(">Q", data, inside), start + 16
        stop = start + size if size else end
        yield name, start, inside, stop
        if stop < inside:
            return
        start = stop


def _named(data: bytes, name: bytes, start: int, end: int) -> Iterator[tuple[int, int]]:
    """Yield where the bodies of boxes of a name start and end."""
    for found, _, inside, stop in boxes(data, start, end):
        if found == name:
            yield inside, min(stop, end)
