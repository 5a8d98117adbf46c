"""WebP files (RFC 9649): their chunks walked here, their pixels decoded by OpenCV.

Pillow's reader holds four copies of the picture at once, all of four bytes a pixel.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

import numpy as np

from catalog.photo.formats.with_pillow import orientation_of
from catalog.photo.row_conversion import Pixels, Strip, cut, gather
from catalog.photo.size_limits import MAX_SEGMENTS, refuse_more

_ALPHA: Final = 0x10
"""Bit of the extended header's flags (RFC 9649, 2.7.1)."""
_KEPT: Final = frozenset({b"ICCP", b"EXIF", b"XMP "})
_HEAD: Final = 10
"""Bytes of the longest header."""


class WebpFile:
    """A WebP file, its header read; see `catalog.photo.decoding.PictureFile`."""

    def __init__(self, data: bytes) -> None:
        self._data = data
        self.preview: Final = False
        self.whole: Final = len(data) >= 8 + int.from_bytes(data[4:8], "little")
        parts: dict[bytes, bytes] = {}
        for number, (name, start, end) in enumerate(chunks(data), 1):
            refuse_more(number, MAX_SEGMENTS, "chunks")
            parts.setdefault(name, data[start : end if name in _KEPT else start + _HEAD])
        self.size: Final = _size(parts)
        self.a_pixel: Final = _a_pixel(parts)
        self.info: Final = {
            key: parts[name]
            for key, name in (("icc_profile", b"ICCP"), ("exif", b"EXIF"), ("xmp", b"XMP "))
            if name in parts
        }

    def decode(self) -> Pixels:
        """Return the first picture's pixels: sRGB on white, not yet upright.

        Raises
        ------
        ValueError
            It is cut off or broken.
        """
        import cv2

        decoded = cv2.imdecode(np.frombuffer(self._data, np.uint8), cv2.IMREAD_UNCHANGED)
        if decoded is None or decoded.shape[1::-1] != self.size:
            raise ValueError("cut off")
        bgr = np.asarray(decoded, np.uint8)
        see_through = bgr.shape[2] == 4

        def strip(top: int, end: int) -> Strip:
            part = bgr[top:end]
            return part[..., 2::-1], part[..., 3] if see_through else None

        room = np.empty(self.size[0] * self.size[1] * 3, np.uint8)
        gather(self.size, strip, room, self.info.get("icc_profile"))
        return cut(room, self.size)

    def orientation(self) -> int:
        """Return the camera's orientation."""
        from PIL import Image

        bearer = Image.new("1", (1, 1))
        bearer.info.update(self.info)
        return orientation_of(bearer)


def chunks(data: bytes) -> Iterator[tuple[bytes, int, int]]:
    """Yield each chunk's name, and where its body starts and ends."""
    position = 12
    while position + 8 <= len(data):
        size = int.from_bytes(data[position + 4 : position + 8], "little")
        yield data[position : position + 4], position + 8, position + 8 + size
        position += 8 + size + size % 2


def _size(chunks: Mapping[bytes, bytes]) -> tuple[int, int]:
    if len(head := chunks.get(b"VP8X", b"")) == _HEAD:
        return 1 + int.from_bytes(head[4:7], "little"), 1 + int.from_bytes(head[7:10], "little")
    if (head := chunks.get(b"VP8 ", b""))[3:6] == b"\x9d\x01\x2a" and len(head) == _HEAD:
        sides = (int.from_bytes(head[at : at + 2], "little") & 0x3FFF for at in (6, 8))
        return next(sides), next(sides)
    if (head := chunks.get(b"VP8L", b"")).startswith(b"\x2f") and len(head) >= 5:
        bits = int.from_bytes(head[1:5], "little")
        return 1 + (bits & 0x3FFF), 1 + (bits >> 14 & 0x3FFF)
    raise ValueError("no header")


def _a_pixel(chunks: Mapping[bytes, bytes]) -> float:
    """Return what decoding takes, bytes a pixel (measured: `tests/bench/test_bench_photo.py`)."""
    if b"ANMF" in chunks:
        return 13
    if chunks.get(b"VP8X", b"\0")[0] & _ALPHA:
        return 8
    return 6 if b"VP8 " in chunks else 8
