"""HEIF files (ISO/IEC 23008-12), decoded by libheif into memory of its own."""

from __future__ import annotations

import io
from typing import Final

import numpy as np

from catalog.photo.formats.heif_tiles import refuse_put_together, refuse_spilt
from catalog.photo.row_conversion import Pixels, Strip, cut, from_pillow, gather


class HeifFile:
    """A HEIF file, its header read; see `catalog.photo.decoding.PictureFile`."""

    a_pixel: Final = 7.0
    whole: Final = True
    preview: Final = False

    def __init__(self, data: bytes) -> None:
        import pillow_heif

        refuse_put_together(data)
        several = pillow_heif.open_heif(
            io.BytesIO(data), convert_hdr_to_8bit=True, remove_stride=False
        )
        self._image = several[several.primary_index]
        self.size: Final[tuple[int, int]] = self._image.size
        """Width and height; libheif turns the picture upright."""
        refuse_spilt(self._image.info.get("tiling"), self.size)
        profile = self._image.info.get("icc_profile")
        self._profile: Final = profile if isinstance(profile, bytes) else None

    def decode(self) -> Pixels:
        """Return the pixels: sRGB on white, upright."""
        from PIL import Image

        decoded: Pixels = np.asarray(self._image)
        size = wide, high = self._image.size  # decoding may change it
        mode = self._image.mode

        def strip(top: int, end: int) -> Strip:
            part = decoded[top:end, :wide]
            if mode == "RGB":
                return part, None
            return from_pillow(Image.frombytes(mode, (wide, len(part)), part.tobytes()), None)

        room = np.empty(wide * high * 3, np.uint8)
        gather(size, strip, room, self._profile)
        return cut(room, size)

    def orientation(self) -> int:
        """Return 1: what the camera says is in the picture's own turns, which are done."""
        return 1
