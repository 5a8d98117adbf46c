"""Embedded colour profiles to sRGB."""

from __future__ import annotations

import io
from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from PIL.Image import Image as PilImage
    from PIL.ImageCms import ImageCmsTransform

Pixels = NDArray[np.uint8]


def to_srgb(profile: bytes | None) -> Callable[[Pixels], Pixels] | None:
    """Return what takes pixels from an embedded profile to sRGB.

    Parameters
    ----------
    profile : bytes, optional
        An ICC profile.

    Returns
    -------
    callable, optional
        Takes and gives (rows, width, 3), uint8; None where nothing is to be changed, as with a
        profile that is broken or not for RGB.
    """
    transform = _transform(profile, "RGB") if profile else None
    if transform is None or _changes_nothing(transform):
        return None
    return partial(_through, transform)


def _through(transform: ImageCmsTransform, pixels: Pixels) -> Pixels:
    from PIL import Image

    return np.asarray(transform.apply(Image.fromarray(pixels)))


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
