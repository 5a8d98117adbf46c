"""Pixels as a decoder leaves them to sRGB on white, some rows at a time."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from catalog.photo.colour_profile import cmyk_to_srgb, to_srgb

if TYPE_CHECKING:
    from PIL.Image import Image as PilImage

STRIP: Final = 256
"""Rows at a time, so that no second copy of the photo is made."""

Pixels = NDArray[np.uint8]
Strip = tuple[Pixels, Pixels | None]
"""RGB (rows, width, 3), and alpha (rows, width) where there is any."""


def gather(
    size: tuple[int, int],
    strip: Callable[[int, int], Strip],
    room: Pixels,
    profile: bytes | None = None,
) -> None:
    """Put strips into one memory: in sRGB, what is see-through laid on white.

    Parameters
    ----------
    size : (int, int)
        Width and height.
    strip : callable
        Gives the rows from one to before another.
    room : array, (bytes,), uint8
        Where they go, three bytes a pixel from its start. The strips may be read from it too,
        where a pixel has no fewer bytes.
    profile : bytes, optional
        The RGB profile that they are in.
    """
    wide, high = size
    convert = to_srgb(profile)
    for top in range(0, high, STRIP):
        rgb, alpha = strip(top, min(top + STRIP, high))
        if convert is not None:
            rgb = convert(rgb)
        if alpha is not None:
            rgb = _on_white(rgb, alpha)
        room[top * wide * 3 :][: rgb.size] = rgb.reshape(-1)


def cut(room: Pixels, size: tuple[int, int]) -> Pixels:
    """Return what was gathered, (height, width, 3), and give the rest of its memory back.

    Nothing else may look into the memory any more.
    """
    wide, high = size
    room.resize(high * wide * 3, refcheck=False)
    return room.reshape(high, wide, 3)


def from_pillow(image: PilImage, profile: bytes | None) -> Strip:
    """Return the pixels of a Pillow image: of what it is made, in its own space but for CMYK.

    Parameters
    ----------
    image : PIL.Image.Image
    profile : bytes, optional
        Used for CMYK alone.
    """
    if image.mode.startswith("I;16") or image.mode == "I":
        return _grey_of_16_bit(np.asarray(image)), None
    if image.mode == "CMYK":
        return np.asarray(cmyk_to_srgb(image, profile)), None
    if image.has_transparency_data:
        full = np.asarray(image.convert("RGBA"))
        return full[..., :3], full[..., 3]
    return np.asarray(image if image.mode == "RGB" else image.convert("RGB")), None


def _grey_of_16_bit(levels: NDArray[np.generic]) -> Pixels:
    """Return RGB pixels of grey ones from 0 to 65535."""
    wide = levels.astype(np.float32)
    grey = np.rint(np.clip(wide, 0, 65535) / 257.0).astype(np.uint8)
    return np.repeat(grey[..., None], 3, axis=2)


def _on_white(rgb: Pixels, alpha: Pixels) -> Pixels:
    """Return a strip composited over white."""
    laid = rgb.copy()
    for row, cover in zip(laid, alpha, strict=True):
        if cover.min() < 255:
            share = cover[:, None].astype(np.float32) / 255.0
            row[:] = np.rint(row * share + 255.0 * (1.0 - share))
    return laid
