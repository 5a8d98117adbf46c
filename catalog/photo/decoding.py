"""A photo file's bytes to upright sRGB pixels, whole or not at all."""

from __future__ import annotations

import threading
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Protocol

import numpy as np

from catalog.errors import PhotoError
from catalog.photo.formats.container import Kind, kind_of
from catalog.photo.formats.heif import HeifFile
from catalog.photo.formats.jpeg import JpegFile
from catalog.photo.formats.png import png_is_whole
from catalog.photo.formats.tiff import refuse_tiff_floods
from catalog.photo.formats.webp import WebpFile
from catalog.photo.formats.with_pillow import PillowFile
from catalog.photo.row_conversion import Pixels
from catalog.photo.size_limits import MAX_PIXELS, TooMuchError, refuse_memory

COPY_AGAIN = "copy it from the camera or phone again"
EXPORT = "save it as JPEG or PNG and try again"
_ANEW = "save it as a plain JPEG in a photo program and try again"
_SMALLER = "make it smaller and try again"


class PictureFile(Protocol):
    """A file of some kind, its header read.

    It is made from the file's bytes, which raises `TooMuchError` where they hold more than a photo,
    and anything else where they are broken.
    """

    @property
    def size(self) -> tuple[int, int]:
        """Width and height."""

    @property
    def a_pixel(self) -> float:
        """Bytes of memory for each pixel that decoding takes, the photo's own among them."""

    @property
    def whole(self) -> bool:
        """Whether the file reaches its end; True where only its decoder can tell."""

    @property
    def preview(self) -> bool:
        """Whether the picture is a small preview of another."""

    def decode(self) -> Pixels:
        """Return the pixels: sRGB on white, not yet upright."""

    def orientation(self) -> int:
        """Return the camera's orientation (Exif 2.32, tag 274)."""


def decode(data: bytes, name: str) -> Pixels:
    """Return a photo's pixels: (height, width, 3), RGB, upright, sRGB.

    Parameters
    ----------
    data : bytes
        The whole file.
    name : str
        What to call it.

    Raises
    ------
    PhotoError
        The bytes aren't an image of a kind that can be read, are cut off or broken, hold more
        than a photo, or take more memory than `MAX_PIXELS` pixels may.
    """
    kind = kind_of(data)
    if kind is None:
        raise PhotoError(f"'{name}' is not a photo that can be read", f"{EXPORT}, or leave it out")
    with _own_limit():
        try:
            file = _opened(kind, data)
            _check(file, name)
            return _turned(file.decode(), file.orientation())
        except PhotoError:
            raise
        except TooMuchError as error:
            raise PhotoError(f"'{name}' {error}", _ANEW) from error
        except MemoryError as error:
            raise PhotoError(f"'{name}' is too large for this computer", _SMALLER) from error
        except Exception as error:  # broken data raises whatever its decoder stumbled over
            raise _broken(error, name) from error


def orientation_in(data: bytes) -> int:
    """Return the camera's orientation of a photo that can be decoded, 1 to 8.

    Raises
    ------
    Exception
        Any, where it can't.
    """
    kind = kind_of(data)
    if kind is None:
        raise ValueError("no kind of photo")
    with _own_limit():
        file = _opened(kind, data)
        if kind == "PNG":  # which may tell it after its pixels
            file.decode()
        return file.orientation()


def _opened(kind: Kind, data: bytes) -> PictureFile:
    """Read the header alone, having seen that the file holds no more than a photo."""
    if kind == "JPEG":
        return JpegFile(data)
    if kind == "WEBP":
        return WebpFile(data)
    if kind == "HEIF":
        return HeifFile(data)
    if kind == "TIFF":
        refuse_tiff_floods(data)
        return PillowFile(kind, data)
    return PillowFile(kind, data, whole=png_is_whole(data))


def _check(file: PictureFile, name: str) -> None:
    """Refuse what should not be decoded."""
    pixels = file.size[0] * file.size[1]
    if pixels > MAX_PIXELS:
        raise _too_large(name, f"{pixels / 1e6:.0f} million pixels, more")
    if file.preview:
        raise PhotoError(f"'{name}' is a raw photo, of which only a preview can be read", EXPORT)
    if not file.whole:
        raise PhotoError(f"'{name}' is cut off: its end is missing", COPY_AGAIN)
    refuse_memory(pixels, file.a_pixel)


def _broken(error: Exception, name: str) -> PhotoError:
    from PIL.Image import DecompressionBombError

    if isinstance(error, DecompressionBombError):
        return _too_large(name, "more")
    return PhotoError(f"'{name}' is broken or cut off", COPY_AGAIN)


def _too_large(name: str, how_many: str) -> PhotoError:
    """Return the error of a photo over `MAX_PIXELS`."""
    most = MAX_PIXELS // 1_000_000
    return PhotoError(
        f"'{name}' has {how_many} than the {most} million pixels that can be read", _SMALLER
    )


@contextmanager
def _own_limit() -> Iterator[None]:
    """Put our limit on pixels in the place of Pillow's, and let it say nothing of metadata."""
    from PIL import Image

    with _alone:
        before = Image.MAX_IMAGE_PIXELS
        Image.MAX_IMAGE_PIXELS = MAX_PIXELS // 2  # Pillow refuses what is over twice this
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")
                yield
        finally:
            Image.MAX_IMAGE_PIXELS = before


_alone = threading.Lock()
"""Pillow's limit and the warnings are the whole process's, whatever thread changes them."""


def _turned(pixels: Pixels, orientation: int) -> Pixels:
    """Turn and mirror as the Exif orientation says."""
    import cv2

    if orientation >= 5:
        pixels = cv2.transpose(pixels).astype(np.uint8, copy=False)
    flip = {2: 1, 3: -1, 4: 0, 6: 1, 7: -1, 8: 0}.get(orientation)
    if flip is not None:
        pixels = cv2.flip(pixels, flip, dst=pixels).astype(np.uint8, copy=False)
    return pixels
