"""Read one photo file, whole or not at all."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from catalog.errors import PhotoError
from catalog.photo.decoding import COPY_AGAIN, EXPORT, decode
from catalog.photo.interruptible import heeding
from catalog.phrases import printable

if TYPE_CHECKING:
    from catalog.models import Photo

MAX_BYTES = 2_000_000_000
"""Largest file read: `MAX_PIXELS` of four 16 bit channels and room to spare."""


def read_photo(path: Path) -> Photo:
    """Read a photo file.

    JPEG, PNG, WebP, TIFF and HEIC; of several pictures in a file the first. The camera's
    orientation is applied, an embedded profile converted to sRGB, what is see-through laid
    on white.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    Photo

    Raises
    ------
    PhotoError
        The file can't be read, isn't an image of these kinds, is cut off or broken, or holds
        more of something than a photo, or has more than `MAX_PIXELS` pixels.
    """
    return decode_photo(read_content(path), path.name or str(path))


def read_content(path: Path) -> bytes:
    """Return a photo file's bytes, undecoded.

    Raises
    ------
    PhotoError
        There is no such file, it can't be read or it is larger than a photo can be.
    """
    name = printable(path.name or str(path))
    try:
        if path.is_dir():
            raise PhotoError(f"'{name}' is a folder, not a photo", "name the photos inside it")
        if not path.exists():
            raise PhotoError(f"there is no photo '{name}'", "check the name and the folder")
        if not path.is_file():
            raise PhotoError(f"'{name}' is not a file", "name a photo file")
        if path.stat().st_size > MAX_BYTES:
            raise PhotoError(f"'{name}' is larger than a photo can be", EXPORT)
        with path.open("rb") as file:  # which may grow, or tell no size though it has no end
            return file.read(path.stat().st_size + 1)
    except PermissionError as error:
        raise PhotoError(f"'{name}' may not be read", "allow reading it or copy it") from error
    except (OSError, ValueError) as error:
        raise PhotoError(f"'{name}' can't be read from its disk", COPY_AGAIN) from error


def decode_photo(data: bytes, name: str) -> Photo:
    """Decode a photo file's bytes, as `read_photo` does; see `catalog.photo.decoding.decode`."""
    name = printable(name)
    if not data:
        raise PhotoError(f"'{name}' is empty", COPY_AGAIN)
    pixels = heeding(lambda: decode(data, name))
    from catalog.models import Photo  # meanwhile this is imported where a count begins with this

    return Photo(name, pixels)
