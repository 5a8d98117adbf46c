"""Embedded colour profiles to sRGB."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from PIL.Image import Image as PilImage
    from PIL.ImageCms import ImageCmsTransform

_STRIP = 256
"""Rows converted at a time, so that no second copy of the photo is made."""


def convert_to_srgb(pixels: NDArray[np.uint8], profile: bytes) -> None:
    """Convert pixels in place from an embedded profile to sRGB.

    Parameters
    ----------
    pixels : array, (height, width, 3), uint8
        RGB in the profile's own space.
    profile : bytes
        An ICC profile; one that is broken or not for RGB changes nothing.
    """
    from PIL import Image

    transform = _transform(profile, "RGB")
    if transform is None or _changes_nothing(transform):
        return
    for top in range(0, len(pixels), _STRIP):
        strip = Image.fromarray(pixels[top : top + _STRIP])
        pixels[top : top + _STRIP] = np.asarray(transform.apply(strip))


def cmyk_to_srgb(image: PilImage, profile: bytes | None) -> PilImage:
    """Convert a CMYK image to RGB, by its profile where that can be used."""
    transform = _transform(profile, "CMYK") if profile else None
    return image.convert("RGB") if transform is None else transform.apply(image)


def _transform(profile: bytes, mode: str) -> ImageCmsTransform | None:
    """Return the transform to sRGB, or None where the profile can't be used for ``mode``."""
    from PIL import ImageCms

    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        return ImageCms.buildTransform(
            source,
            ImageCms.createProfile("sRGB"),
            mode,
            "RGB",
            ImageCms.Intent.RELATIVE_COLORIMETRIC,
        )
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
        return None


def _changes_nothing(transform: ImageCmsTransform) -> bool:
    """Tell whether a transform moves no colour by more than one level, as sRGB's own does."""
    from PIL import Image

    levels = np.linspace(0, 255, 9).astype(np.uint8)
    probe = np.stack(np.meshgrid(levels, levels, levels), axis=-1).reshape(27, 27, 3)
    moved = np.asarray(transform.apply(Image.fromarray(probe))).astype(int) - probe
    return int(np.abs(moved).max()) <= 1
