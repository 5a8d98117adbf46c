"""PNG files (ISO/IEC 15948): walked, because their decoder accepts files that end too soon."""

from __future__ import annotations

from catalog.photo.size_limits import MAX_PIXEL_PARTS, MAX_SEGMENTS, refuse_more

_FIRST = 8
"""Where the first chunk stands."""


def png_is_whole(data: bytes) -> bool:
    """Walk a PNG file's chunks to its end chunk (5.3).

    Raises
    ------
    TooMuchError
        It has more chunks than a photo.
    """
    position, pieces, parts = _FIRST, 0, 0
    while position + 12 <= len(data):
        name = data[position + 4 : position + 8]
        if name == b"IEND":
            return True
        parts += name == b"IDAT"
        pieces += name != b"IDAT"
        refuse_more(pieces, MAX_SEGMENTS, "chunks")
        refuse_more(parts, MAX_PIXEL_PARTS, "chunks of pixels")
        position += 12 + int.from_bytes(data[position : position + 4], "big")
    return False
