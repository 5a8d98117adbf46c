"""How much of anything a photo may hold, told before it is decoded.

A file of some kilobytes can ask a decoder for hours of work or for all of the memory; what no
photo needs is refused by what is written in the file, before a decoder sees it.
"""

from __future__ import annotations

from typing import Final

MAX_PIXELS: Final = 200_000_000
"""Largest photo read; four times a phone's 50 megapixels."""

MAX_BYTES_PER_PIXEL: Final = 6
"""Bytes of memory for each pixel of the largest photo, beyond its file: it, and it turned."""

MAX_SCANS: Final = 100
"""Scans of a JPEG: what libjpeg-turbo's own fuzzer gives to the decoder (`fuzz/decompress.cc`,
TJPARAM_SCANLIMIT), and what libtiff reads by itself (`tif_jpeg.c`). Cameras and editors write at
most some dozen."""

MAX_SEGMENTS: Final = 1000
"""Segments of a JPEG, chunks of a PNG but those of its pixels, chunks of a WebP, fields of a TIFF,
tiles of a HEIF: what libpng keeps by itself (PNG_USER_CHUNK_CACHE_MAX in `pnglibconf.h`). A colour
profile takes up to 255 segments (ICC.1:2022, B.4), cameras write some dozen beside it; 200
megapixels in tiles of 512 by 512 are 800, and libheif reads no more than 1,000 items (from
memory)."""

MAX_FILLING_BYTES: Final = 1 << 16
"""Bytes between the segments of a JPEG's header, of which any number may stand there (ITU-T T.81,
B.1.1.2) and hardly any does (common practice); Pillow takes three seconds for a million."""

MAX_PIXEL_PARTS: Final = 200_000
"""Pieces into which the pixels of a PNG or TIFF are cut. The largest photo as it is, in chunks of
8 kB, the smallest that usual programs write (from memory), takes half of it."""


class TooMuchError(ValueError):
    """A file holds more of something than a photo needs; says what in words that follow a name."""


def refuse_more(number: int, most: int, what: str) -> None:
    """Refuse a file that holds more than `most` of something.

    Raises
    ------
    TooMuchError
    """
    if number > most:
        raise TooMuchError(f"holds more than {most:,} {what}, which no photo needs")


def refuse_memory(pixels: int, a_pixel: float) -> None:
    """Refuse a picture that takes more memory than the largest photo may, beyond its file.

    Parameters
    ----------
    pixels : int
    a_pixel : float
        Bytes for each of them while it is decoded.

    Raises
    ------
    TooMuchError
    """
    if pixels * a_pixel > MAX_PIXELS * MAX_BYTES_PER_PIXEL:
        most = int(MAX_PIXELS * MAX_BYTES_PER_PIXEL / a_pixel / 1e6)
        raise TooMuchError(
            f"is of a kind that is read up to {most} million pixels, and has {pixels / 1e6:.0f}"
        )
