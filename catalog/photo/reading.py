"""Read one photo file, whole or not at all."""

from __future__ import annotations

import io
import threading
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from catalog.errors import PhotoError
from catalog.models import Photo
from catalog.photo.container import is_whole, jpeg_end, kind_of
from catalog.photo.profile import cmyk_to_srgb, convert_to_srgb

if TYPE_CHECKING:
    from PIL.ImageFile import ImageFile

MAX_PIXELS = 200_000_000
"""Largest photo read; four times a phone's 50 megapixels."""

MAX_BYTES = 2_000_000_000
"""Largest file read: `MAX_PIXELS` of four 16 bit channels and room to spare."""

_READERS = {
    "JPEG": ("PIL.JpegImagePlugin", "JpegImageFile"),
    "PNG": ("PIL.PngImagePlugin", "PngImageFile"),
    "WEBP": ("PIL.WebPImagePlugin", "WebPImageFile"),
    "TIFF": ("PIL.TiffImagePlugin", "TiffImageFile"),
    "HEIF": ("pillow_heif", "HeifImageFile"),
}
"""Where each kind's reader is; imported when the first such file comes."""

_ORIENTATION = 0x0112
_REDUCED = 254
"""TIFF tag NewSubfileType; bit 0 marks a small preview of a picture kept elsewhere (TIFF 6.0)."""

_COPY_AGAIN = "copy it from the camera or phone again"
_EXPORT = "save it as JPEG or PNG and try again"


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
        The file can't be read, isn't an image of these kinds, is cut off or broken, or has
        more than `MAX_PIXELS` pixels.
    """
    return decode_photo(read_content(path), path.name or str(path))


def read_content(path: Path) -> bytes:
    """Return a photo file's bytes, undecoded.

    Raises
    ------
    PhotoError
        There is no such file, it can't be read or it is larger than a photo can be.
    """
    name = _printable(path.name or str(path))
    try:
        if path.is_dir():
            raise PhotoError(f"'{name}' is a folder, not a photo", "name the photos inside it")
        if not path.exists():
            raise PhotoError(f"there is no photo '{name}'", "check the name and the folder")
        if not path.is_file():
            raise PhotoError(f"'{name}' is not a file", "name a photo file")
        if path.stat().st_size > MAX_BYTES:
            raise PhotoError(f"'{name}' is larger than a photo can be", _EXPORT)
        return path.read_bytes()
    except PermissionError as error:
        raise PhotoError(f"'{name}' may not be read", "allow reading it or copy it") from error
    except (OSError, ValueError) as error:
        raise PhotoError(f"'{name}' can't be read from its disk", _COPY_AGAIN) from error


def decode_photo(data: bytes, name: str) -> Photo:
    """Decode a photo file's bytes, as `read_photo` does.

    Parameters
    ----------
    data : bytes
        The whole file.
    name : str
        What to call it.

    Raises
    ------
    PhotoError
        As from `read_photo`.
    """
    name = _printable(name)
    if not data:
        raise PhotoError(f"'{name}' is empty", _COPY_AGAIN)
    kind = kind_of(data)
    if kind is None:
        raise PhotoError(f"'{name}' is not a photo that can be read", f"{_EXPORT}, or leave it out")
    with _own_limit():
        image = _open(kind, data, name)
        _check_header(image, name)
        if not is_whole(kind, data):
            raise PhotoError(f"'{name}' is cut off: its end is missing", _COPY_AGAIN)
        pixels = _decode(image, kind, data, name)
    return Photo(name, pixels)


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


def _printable(name: str) -> str:
    """Return a file's name fit for a message and for UTF-8 files."""
    plain = name.encode("utf-8", "replace").decode("utf-8")
    return "".join(c if c.isprintable() else "?" for c in plain)


def _open(kind: str, data: bytes, name: str) -> ImageFile:
    """Read the header alone."""
    from PIL.Image import DecompressionBombError

    module, reader = _READERS[kind]
    try:
        image: ImageFile = getattr(import_module(module), reader)(io.BytesIO(data))
    except DecompressionBombError as error:
        raise _too_large(name, "more") from error
    except Exception as error:  # a broken header raises whatever its reader stumbled over
        raise PhotoError(f"'{name}' is broken or cut off", _COPY_AGAIN) from error
    return image


def _check_header(image: ImageFile, name: str) -> None:
    """Refuse what should not be decoded."""
    width, height = image.size
    if width * height > MAX_PIXELS:
        raise _too_large(name, f"{width * height / 1e6:.0f} million pixels, more")
    tags = getattr(image, "tag_v2", {})
    if int(tags.get(_REDUCED, 0)) & 1:
        raise PhotoError(f"'{name}' is a raw photo, of which only a preview can be read", _EXPORT)


def _too_large(name: str, how_many: str) -> PhotoError:
    """Return the error of a photo over `MAX_PIXELS`."""
    most = MAX_PIXELS // 1_000_000
    return PhotoError(
        f"'{name}' has {how_many} than the {most} million pixels that can be read",
        "make it smaller and try again",
    )


def _decode(image: ImageFile, kind: str, data: bytes, name: str) -> NDArray[np.uint8]:
    """Return upright sRGB pixels."""
    try:
        profile = image.info.get("icc_profile")
        if kind == "JPEG" and image.mode in {"RGB", "L"}:
            pixels = _decode_jpeg(data)
            alpha = None
        else:
            pixels, alpha = _decode_with_pillow(image)
    except MemoryError as error:
        raise PhotoError(f"'{name}' is too large for this computer", "make it smaller") from error
    except Exception as error:  # broken data raises whatever its decoder stumbled over
        raise PhotoError(f"'{name}' is broken or cut off", _COPY_AGAIN) from error
    if profile and image.mode != "CMYK":
        convert_to_srgb(pixels, profile)
    if alpha is not None:
        _lay_on_white(pixels, alpha)
    # Asked last: Pillow turns a TIFF by itself and takes the tag away, and a PNG may carry its
    # tag after its pixels.
    return _turn(pixels, _orientation(image))


def _orientation(image: ImageFile) -> int:
    """Return the camera's orientation (Exif 2.32, tag 274), 1 where there is none to trust."""
    try:
        orientation = image.getexif().get(_ORIENTATION, 1)
    except Exception:  # metadata may be broken in any way, and the photo still be good
        return 1
    return orientation if orientation in range(1, 9) else 1


def _decode_jpeg(data: bytes) -> NDArray[np.uint8]:
    """Decode an RGB or grey JPEG by OpenCV, in half the time and memory that Pillow takes.

    A picture in one scan is handed on with zeros for its end marker: the decoder goes through
    them where rows are still missing and then finds nothing more, instead of taking the
    marker for the end and making up the rest.
    """
    import cv2

    end = jpeg_end(data)
    if end is not None and end.one_scan:
        data = data[: end.at] + bytes(_PADDING)
    flags = cv2.IMREAD_COLOR_RGB | cv2.IMREAD_IGNORE_ORIENTATION
    pixels = cv2.imdecode(np.frombuffer(data, np.uint8), flags)
    if pixels is None:
        msg = "cut off"
        raise ValueError(msg)
    return np.asarray(pixels, np.uint8)


_PADDING = 16
"""More bytes than the decoder reads ahead (libjpeg-turbo: 8)."""


def _decode_with_pillow(image: ImageFile) -> tuple[NDArray[np.uint8], NDArray[np.uint8] | None]:
    """Return RGB pixels and, where there is any, alpha (height, width)."""
    image.load()
    if image.mode.startswith("I;16") or image.mode == "I":
        return _grey_of_16_bit(np.asarray(image)), None
    if image.mode == "CMYK":
        return np.array(cmyk_to_srgb(image, image.info.get("icc_profile"))), None
    if image.mode in {"F", "LAB", "HSV"}:
        msg = f"pixels of mode {image.mode}"
        raise ValueError(msg)
    if image.has_transparency_data:
        full = np.array(image.convert("RGBA"))
        return np.ascontiguousarray(full[..., :3]), full[..., 3]
    return np.array(image if image.mode == "RGB" else image.convert("RGB")), None


def _grey_of_16_bit(levels: NDArray[np.generic]) -> NDArray[np.uint8]:
    """Return RGB pixels of grey ones from 0 to 65535."""
    wide = levels.astype(np.float32)
    grey = np.rint(np.clip(wide, 0, 65535) / 257.0).astype(np.uint8)
    return np.repeat(grey[..., None], 3, axis=2)


def _lay_on_white(pixels: NDArray[np.uint8], alpha: NDArray[np.uint8]) -> None:
    """Composite over white in place."""
    for row, cover in zip(pixels, alpha, strict=True):
        if cover.min() < 255:
            share = cover[:, None].astype(np.float32) / 255.0
            row[:] = np.rint(row * share + 255.0 * (1.0 - share))


def _turn(pixels: NDArray[np.uint8], orientation: int) -> NDArray[np.uint8]:
    """Turn and mirror as the Exif orientation says."""
    import cv2

    if orientation >= 5:
        pixels = cv2.transpose(pixels).astype(np.uint8, copy=False)
    flip = {2: 1, 3: -1, 4: 0, 6: 1, 7: -1, 8: 0}.get(orientation)
    if flip is not None:
        pixels = cv2.flip(pixels, flip, dst=pixels).astype(np.uint8, copy=False)
    return pixels
