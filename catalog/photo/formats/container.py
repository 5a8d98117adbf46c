"""What kind of image file some bytes are."""

from __future__ import annotations

from typing import Literal

Kind = Literal["JPEG", "PNG", "WEBP", "TIFF", "HEIF"]

_HEIF_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1")


def kind_of(data: bytes) -> Kind | None:
    """Return the kind of an image file by its first bytes, None where it is none."""
    if data.startswith(b"\xff\xd8\xff"):
        return "JPEG"
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return "PNG"
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return "WEBP"
    if data[:4] in {b"II*\0", b"MM\0*", b"II+\0", b"MM\0+"}:
        return "TIFF"
    if data[4:8] == b"ftyp" and data[8:12] in _HEIF_BRANDS:
        return "HEIF"
    return None
