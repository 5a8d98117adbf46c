"""JPEG files (ITU-T T.81): walked, because their decoders accept files that end too soon."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from catalog.photo.formats.with_pillow import PillowFile
from catalog.photo.row_conversion import Pixels, gather
from catalog.photo.size_limits import MAX_FILLING_BYTES, MAX_SCANS, MAX_SEGMENTS, refuse_more
from catalog.system.silence import ERROR, silent

_MARKER: Final = re.compile(rb"\xff[^\x00\xff\xd0-\xd7]")
"""A marker that ends coded data: neither a stuffed byte nor a restart (ITU-T T.81, B.1.1)."""

EOI, SOS = 0xD9, 0xDA
"""Markers of the end and of a scan; these and those below: ITU-T T.81, table B.1."""
_BARE_MARKERS: Final = frozenset({0x01, *range(0xD0, 0xD9)})
"""Markers without a length."""
_SEQUENTIAL: Final = frozenset({0xC0, 0xC1})
_CODED_FRAMES: Final = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
_PADDING: Final = 16
"""More bytes than the decoder reads ahead (libjpeg-turbo: 8)."""


@dataclass(frozen=True)
class JpegEnd:
    """Where the first picture of a JPEG file ends, and how it is coded."""

    at: int
    """Index of its end marker; what follows (a second picture, a film) is not the photo."""
    one_scan: bool
    """Whether the whole picture is one sequential scan."""
    held: float
    """Bytes for each pixel that the decoder holds beside the picture: all coefficients, of two
    bytes each, where it is coded in several scans."""


def segments(data: bytes) -> Iterator[tuple[int, int, int, int]]:
    """Yield each segment's marker, where it starts, and where its body starts and ends.

    The end marker of the first picture is the last, where there is one. Coded data lie between the
    segment `SOS` and the next.
    """
    position = 2
    while found := _MARKER.search(data, position):
        marker, start = data[found.end() - 1], found.end()
        bare = marker == EOI or marker in _BARE_MARKERS
        position = start if bare else start + int.from_bytes(data[start : start + 2], "big")
        yield marker, found.start(), start, position
        if marker == EOI:
            return


def jpeg_end(data: bytes) -> JpegEnd | None:
    """Walk a JPEG file's segments to the end of its picture; None where that is missing.

    Raises
    ------
    TooMuchError
        It has more segments or scans than a photo.
    """
    before, scans, pieces, filling, frame, samples = 2, 0, 0, 0, 0, 0.0
    for marker, at, start, end in segments(data):
        filling += 0 if scans else at - before
        before = end
        if marker == EOI:
            one_scan = scans == 1 and frame in _SEQUENTIAL
            return JpegEnd(at, one_scan, 0 if one_scan else 2 * samples)
        scans += marker == SOS
        pieces += marker != SOS
        refuse_more(scans, MAX_SCANS, "scans")
        refuse_more(pieces, MAX_SEGMENTS, "segments")
        refuse_more(filling, MAX_FILLING_BYTES, "bytes of filling")
        if marker in _CODED_FRAMES:
            frame, samples = marker, _samples(data[start : start + 20])
    return None


def _samples(frame: bytes) -> float:
    """Return how many samples a frame header tells for each pixel (ITU-T T.81, B.2.2)."""
    factors = [(each >> 4, each & 15) for each in frame[9:20:3][: max(frame[7:8], default=0)]]
    widest = max((across for across, _ in factors), default=0)
    highest = max((down for _, down in factors), default=0)
    return sum(across * down for across, down in factors) / max(widest * highest, 1)


class JpegFile:
    """A JPEG file, its header read; see `catalog.photo.decoding.PictureFile`."""

    def __init__(self, data: bytes) -> None:
        self._data = data
        self._end = jpeg_end(data)
        self._header = PillowFile("JPEG", data)
        self._plain = self._header.mode in {"RGB", "L"}
        self.size: Final = self._header.size
        self.preview: Final = False
        self.whole: Final = self._end is not None
        held = self._end.held if self._end else 0
        self.a_pixel: Final = max(6, 3 + held) if self._plain else 4 + held

    def decode(self) -> Pixels:
        """Return the pixels: sRGB, not yet upright.

        RGB and grey by OpenCV, in half the time that Pillow takes.
        """
        if not self._plain:
            return self._header.decode()
        pixels = self._by_opencv()
        wide, high = self.size
        if pixels.shape != (high, wide, 3):
            raise ValueError("two sizes")
        profile = self._header.info.get("icc_profile")
        if profile:
            gather(self.size, lambda top, end: (pixels[top:end], None), pixels.reshape(-1), profile)
        return pixels

    def orientation(self) -> int:
        """Return the camera's orientation."""
        return self._header.orientation()

    def _by_opencv(self) -> Pixels:
        """Decode, and miss no rows.

        A picture in one scan is handed on with zeros for its end marker: the decoder goes through
        them where rows are still missing and then finds nothing more, instead of taking the
        marker for the end and making up the rest.
        """
        import cv2

        data = self._data
        if self._end is not None and self._end.one_scan:
            data = data[: self._end.at] + bytes(_PADDING)
        flags = cv2.IMREAD_COLOR_RGB | cv2.IMREAD_IGNORE_ORIENTATION
        with silent(ERROR):
            pixels = cv2.imdecode(np.frombuffer(data, np.uint8), flags)
        if pixels is None:
            raise ValueError("cut off")
        return np.asarray(pixels, np.uint8)
