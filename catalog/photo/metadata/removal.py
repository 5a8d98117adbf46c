"""A photo's file without what it says of place, time and camera; its pixels to the last bit.

Nothing is encoded anew: of JPEG, PNG and WebP files the parts are kept that the picture is made of,
in TIFF and HEIF files all else is written over with zeros, for places in them must stay. What turns
the picture upright and its colour profile stay.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator
from typing import Final

from catalog.photo.decoding import orientation_in
from catalog.photo.formats import png, webp
from catalog.photo.formats.container import kind_of
from catalog.photo.formats.jpeg import EOI, SOS, segments
from catalog.photo.formats.with_pillow import ORIENTATION
from catalog.photo.metadata.heif_removal import heif_without_metadata
from catalog.photo.metadata.tiff_removal import tiff_without_metadata

_APP0, _APP1, _APP2, _APP14, _APP15, _COM = 0xE0, 0xE1, 0xE2, 0xEE, 0xEF, 0xFE
"""Markers of applications' data and comments (ITU-T T.81, table B.1)."""
_JFIF: Final = 12
"""Bytes of a JFIF head before the size of its thumbnail (ITU-T T.871, 10.1)."""
_ADOBE: Final = 12
"""Bytes of an Adobe marker, by which decoders know the colour transform (ITU-T T.872, 6.5.3)."""
_PNG_KEPT: Final = frozenset(
    b"IHDR PLTE IDAT IEND tRNS cHRM gAMA iCCP sBIT sRGB cICP mDCV cLLI bKGD hIST pHYs".split()
)
"""Chunks that the picture and its colours are made of (PNG, Third Edition, 11.2 and 11.3)."""
_WEBP_KEPT: Final = frozenset({b"VP8X", b"ICCP", b"ANIM", b"ANMF", b"ALPH", b"VP8 ", b"VP8L"})
_WEBP_EXIF, _WEBP_XMP = 0x08, 0x04
"""Flags of the extended header (RFC 9649, 2.7.1)."""


class MetadataRemovalError(ValueError):
    """A file that isn't built as its kind should be, so that nothing can be taken out of it."""


def without_metadata(data: bytes) -> bytes:
    """Return a photo's file without metadata.

    Parameters
    ----------
    data : bytes
        A whole file that can be decoded: JPEG, PNG, WebP, TIFF or HEIF.

    Returns
    -------
    bytes
        Decodes to the same pixels. Left out are Exif (place, camera, notes of its maker, preview),
        XMP, IPTC, comments, texts, further pictures and films; kept the orientation and the colour
        profile.

    Raises
    ------
    MetadataRemovalError
        The file can't be taken apart.
    """
    kind = kind_of(data)
    try:
        if kind == "JPEG":
            return _jpeg(data)
        if kind == "PNG":
            return _png(data)
        if kind == "WEBP":
            return _webp(data)
        if kind == "TIFF":
            return tiff_without_metadata(data)
        if kind == "HEIF":
            return heif_without_metadata(data)
    except Exception as error:  # broken data raises whatever its walker stumbled over
        raise MetadataRemovalError(str(error)) from error
    raise MetadataRemovalError("no kind of photo")


def _exif(orientation: int) -> bytes:
    """Return Exif that tells an orientation and nothing else; nothing for upright."""
    if orientation == 1:
        return b""
    return b"II*\0" + struct.pack("<LHHHLHHL", 8, 1, ORIENTATION, 3, 1, orientation, 0, 0)


def _jpeg(data: bytes) -> bytes:
    exif = _exif(orientation_in(data))
    out = [b"\xff\xd8"]
    parts = list(_jpeg_parts(data))
    if parts and parts[0][0] == _APP0:  # Exif comes after it, if there is one
        out.append(parts.pop(0)[1])
    if exif:
        body = b"Exif\0\0" + exif
        out.append(struct.pack(">BBH", 0xFF, _APP1, len(body) + 2) + body)
    out += [part for _, part in parts]
    return b"".join(out)


def _jpeg_parts(data: bytes) -> Iterator[tuple[int, bytes]]:
    """Yield marker and bytes of each part that is kept, up to the picture's end."""
    coded_from = None
    for marker, at, start, end in segments(data):
        if coded_from is not None:
            yield SOS, data[coded_from:at]
        coded_from = end if marker == SOS else None
        body = _jpeg_body(marker, data[start + 2 : end])
        if start == end:  # a marker without a length
            yield marker, bytes((0xFF, marker))
        elif body is not None:
            yield marker, struct.pack(">BBH", 0xFF, marker, len(body) + 2) + body
        if marker == EOI:
            return
    raise MetadataRemovalError("no end")


def _jpeg_body(marker: int, body: bytes) -> bytes | None:
    """Return what is kept of a part; None where nothing is."""
    if marker == _APP0:
        return body[:_JFIF] + b"\0\0" if body.startswith(b"JFIF\0") else None
    if marker == _APP2:
        return body if body.startswith(b"ICC_PROFILE\0") else None
    if marker == _APP14:
        return body[:_ADOBE] if body.startswith(b"Adobe") else None
    return None if _APP0 < marker <= _APP15 or marker == _COM else body


def _png(data: bytes) -> bytes:
    exif = _exif(orientation_in(data))
    out = [data[: png.FIRST_CHUNK]]
    for name, start, end in png.chunks(data):
        if name in _PNG_KEPT:
            out.append(data[start:end])
        if name == b"IHDR" and exif:
            out.append(_png_chunk(b"eXIf", exif))
        if name == b"IEND":
            return b"".join(out)
    raise MetadataRemovalError("no end")


def _png_chunk(name: bytes, body: bytes) -> bytes:
    import zlib

    return struct.pack(">L", len(body)) + name + body + struct.pack(">L", zlib.crc32(name + body))


def _webp(data: bytes) -> bytes:
    exif = _exif(orientation_in(data))
    out = []
    for name, start, end in webp.chunks(data[: 8 + int.from_bytes(data[4:8], "little")]):
        body = data[start:end]
        if name == b"VP8X":
            flags = body[0] & ~(_WEBP_EXIF | _WEBP_XMP) | (_WEBP_EXIF if exif else 0)
            body = bytes((flags,)) + body[1:]
        if name in _WEBP_KEPT:
            out.append(_webp_chunk(name, body))
    if exif:
        out.append(_webp_chunk(b"EXIF", exif))
    told = b"WEBP" + b"".join(out)
    return b"RIFF" + struct.pack("<L", len(told)) + told


def _webp_chunk(name: bytes, body: bytes) -> bytes:
    return name + struct.pack("<L", len(body)) + body + b"\0" * (len(body) % 2)
