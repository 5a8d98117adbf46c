"""PNG files (ISO/IEC 15948): walked, because their decoder accepts files that end too soon."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from catalog.photo.size_limits import MAX_PIXEL_PARTS, MAX_SEGMENTS, refuse_more

FIRST_CHUNK: Final = 8
"""Where the first chunk stands."""


def chunks(data: bytes) -> Iterator[tuple[bytes, int, int]]:
    """Yield each chunk's name, and where it starts and ends, up to the end chunk (5.3)."""
    start = FIRST_CHUNK
    while start + 12 <= len(data):
        name, end = data[start + 4 : start + 8], start + 12
        end += int.from_bytes(data[start : start + 4], "big")
        yield name, start, end
        if name == b"IEND":
            return
        start = end


def png_is_whole(data: bytes) -> bool:
    """Walk a PNG file's chunks to its end chunk.

    Raises
    ------
    TooMuchError
        It has more chunks than a photo.
    """
    pieces = parts = 0
    for name, _, _ in chunks(data):
        if name == b"IEND":
            return True
        parts += name == b"IDAT"
        pieces += name != b"IDAT"
        refuse_more(pieces, MAX_SEGMENTS, "chunks")
        refuse_more(parts, MAX_PIXEL_PARTS, "chunks of pixels")
    return False
