"""PNG and TIFF files, and the headers of JPEG files, read by Pillow."""

from __future__ import annotations

import io
from collections.abc import Mapping
from importlib import import_module
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from catalog.photo.formats.container import Kind
from catalog.photo.formats.tiff import HEIGHT, WIDTH, is_preview, strip_share
from catalog.photo.row_conversion import Pixels, Strip, cut, from_pillow, gather

if TYPE_CHECKING:
    from PIL.Image import Image as PilImage
    from PIL.ImageFile import ImageFile

_READERS: Final[Mapping[Kind, tuple[str, str]]] = {
    "JPEG": ("PIL.JpegImagePlugin", "JpegImageFile"),
    "PNG": ("PIL.PngImagePlugin", "PngImageFile"),
    "TIFF": ("PIL.TiffImagePlugin", "TiffImageFile"),
}
"""Where each kind's reader is; imported when the first such file comes."""

ORIENTATION: Final = 0x0112
"""Tag of the camera's orientation (Exif 2.32, tag 274)."""
_BYTES: Final = {"1": 1, "L": 1, "P": 1}
"""Bytes a pixel of Pillow's own memory; two of modes named after 16 bits, else four."""
_NO_COLOURS: Final = frozenset({"F", "LAB", "HSV"})


def orientation_of(image: PilImage) -> int:
    """Return the camera's orientation (Exif 2.32, tag 274), 1 where there is none to trust."""
    try:
        orientation = image.getexif().get(ORIENTATION, 1)
    except Exception:  # metadata may be broken in any way, and the photo still be good
        return 1
    return orientation if orientation in range(1, 9) else 1


def _core() -> Any:  # noqa: ANN401 - Pillow's part in C
    """Return the maker of Pillow's memory, as `PIL.Image.frombuffer` uses it."""
    from PIL import Image

    return Image.core  # type: ignore[attr-defined]


class PillowFile:
    """A file opened by Pillow, its header read; see `catalog.photo.decoding.PictureFile`."""

    def __init__(self, kind: Kind, data: bytes, *, whole: bool = True) -> None:
        module, reader = _READERS[kind]
        self._image: ImageFile = getattr(import_module(module), reader)(io.BytesIO(data))
        self.whole: Final = whole
        self.size: Final = self._image.size
        self.mode: Final = self._image.mode
        self.info: Final[Mapping[Any, Any]] = self._image.info
        self.preview: Final = is_preview(self._image)
        self._turned = 1
        self.a_pixel: Final = self._bytes() + strip_share(self._image)

    def decode(self) -> Pixels:
        """Return the pixels as they are stored: sRGB on white, not yet upright.

        Pillow decodes into the memory that the photo is to have, where its pixels take no fewer
        bytes than the photo's, so that there is but one copy of it.
        """
        if self.mode in _NO_COLOURS:
            raise ValueError(f"pixels of mode {self.mode}")
        size = wide, high = self._stored_size()
        self._keep_from_turning()
        own = self._bytes() > 3
        room = np.empty(wide * high * (4 if own else 3), np.uint8)
        if own:
            self._image.im = _core().map_buffer(room, size, "raw", 0, (self.mode, 0, 1))
        self._image.load()
        profile = self.info.get("icc_profile")

        def strip(top: int, end: int) -> Strip:
            return from_pillow(self._image.crop((0, top, wide, end)), profile)

        gather(size, strip, room, None if self.mode == "CMYK" else profile)
        self._image.im = _core().new("L", (1, 1))
        return cut(room, size)

    def orientation(self) -> int:
        """Return the camera's orientation; asked after decoding, as a PNG may tell it last."""
        return self._turned if self._is_tiff() else orientation_of(self._image)

    def _stored_size(self) -> tuple[int, int]:
        """Return width and height as they are stored; Pillow tells those of a TIFF upright."""
        tags = getattr(self._image, "tag_v2", {})
        return (tags[WIDTH], tags[HEIGHT]) if self._is_tiff() else self.size

    def _keep_from_turning(self) -> None:
        """Take the orientation from a TIFF, which Pillow would turn in a copy when it is loaded."""
        if self._is_tiff():
            self._turned = orientation_of(self._image)
            self._image.getexif()[ORIENTATION] = 1

    def _is_tiff(self) -> bool:
        return hasattr(self._image, "tag_v2")

    def _bytes(self) -> int:
        return _BYTES.get(self.mode, 2 if self.mode.startswith("I;16") else 4)
