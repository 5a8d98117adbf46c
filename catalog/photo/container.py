"""What kind of image file some bytes are, and whether they are all there.

The decoders of JPEG and PNG accept files that end too soon, so those are walked here.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

_PNG = b"\x89PNG\r\n\x1a\n"
_HEIF_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1")

_SCAN_END = re.compile(rb"\xff[^\x00\xff\xd0-\xd7]")
"""A marker that ends coded data: neither a stuffed byte nor a restart (ITU-T T.81, B.1.1)."""

_SOI, _EOI, _SOS = 0xD8, 0xD9, 0xDA
_BARE = frozenset({0x01, *range(0xD0, 0xD9)})
"""Markers without a length."""
_SEQUENTIAL = frozenset({0xC0, 0xC1})
_CODED_FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}


def kind_of(data: bytes) -> str | None:
    """Return ``JPEG``, ``PNG``, ``WEBP``, ``TIFF`` or ``HEIF`` by the first bytes, else None."""
    if data.startswith(b"\xff\xd8\xff"):
        return "JPEG"
    if data.startswith(_PNG):
        return "PNG"
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return "WEBP"
    if data[:4] in {b"II*\0", b"MM\0*", b"II+\0", b"MM\0+"}:
        return "TIFF"
    if data[4:8] == b"ftyp" and data[8:12] in _HEIF_BRANDS:
        return "HEIF"
    return None


@dataclass(frozen=True)
class JpegEnd:
    """Where the first picture of a JPEG file ends."""

    at: int
    """Index of its end marker; what follows (a second picture, a film) is not the photo."""
    one_scan: bool
    """Whether the whole picture is one sequential scan."""


def jpeg_end(data: bytes) -> JpegEnd | None:
    """Walk a JPEG file's segments to the end of its picture; None where that is missing."""
    position, scans, frame = 2, 0, 0
    while True:
        found = _SCAN_END.search(data, position)
        if found is None:
            return None
        marker = data[found.end() - 1]
        position = found.end()
        if marker == _EOI:
            return JpegEnd(position - 2, scans == 1 and frame in _SEQUENTIAL)
        if marker in _BARE:
            continue
        if marker in _CODED_FRAMES:
            frame = marker
        scans += marker == _SOS
        position += int.from_bytes(data[position : position + 2], "big")


def is_whole(kind: str, data: bytes) -> bool:
    """Tell whether a file of this kind reaches its end; True where only its decoder can tell."""
    if kind == "JPEG":
        return jpeg_end(data) is not None
    if kind == "PNG":
        return _png_is_whole(data)
    if kind == "WEBP":
        return len(data) >= 8 + int.from_bytes(data[4:8], "little")
    return True


def _png_is_whole(data: bytes) -> bool:
    """Walk a PNG file's chunks to its end chunk (ISO/IEC 15948, 5.3)."""
    position = len(_PNG)
    while position + 12 <= len(data):
        length = int.from_bytes(data[position : position + 4], "big")
        if data[position + 4 : position + 8] == b"IEND":
            return True
        position += 12 + length
    return False
