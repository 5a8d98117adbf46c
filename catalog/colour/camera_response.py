"""What a phone does to the light before it writes a picture, and how to take it off again."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from catalog.colour import lab

Floats = NDArray[np.float32]

CONTRAST = 0.2
"""Strength of the S-shaped tone curve that phones lay over the sRGB curve: encoded value x becomes
x + CONTRAST * (3x^2 - 2x^3 - x). Of 0 to 0.4 the best on the 14 dev photos with SATURATION."""
SATURATION = 1.1
"""Factor by which phones strengthen the distance from grey, encoded values. The two together bring
differences between squares from 2.3 off to 1.1 (light's field and balance known), and the fit to
three real charts of other cameras from 7.8, 7.7, 4.3 to 7.0, 6.8, 3.6 CIEDE2000; a chart printed
on paper gets worse, from 7.0 to 7.9."""
LUMA = np.array([0.2126, 0.7152, 0.0722], np.float32)
"""Weights of red, green, blue in luminance (IEC 61966-2-1)."""
_TABLE_SIZE = 2**16
"""Entries of the table from encoded values to linear light: OpenCV's for 16 bits."""


@dataclass(frozen=True)
class CameraResponse:
    """What a camera makes of linear light: the usual phone's, or what a chart tells of another."""

    contrast: float = CONTRAST
    saturation: float = SATURATION
    power: float = 1.0
    """Exponent of linear light that remains after the two."""

    def linear(self, pixels: NDArray[np.uint8]) -> Floats:
        """Return linear light, 0 to 1, of pixels (..., 3)."""
        return to_linear(pixels, self.contrast, self.saturation, self.power)


def to_linear(
    pixels: NDArray[np.uint8],
    contrast: float = CONTRAST,
    saturation: float = SATURATION,
    power: float = 1.0,
) -> Floats:
    """Turn a photo's pixels into linear light, its tone curve and saturation taken off.

    Parameters
    ----------
    pixels : (..., 3) uint8
        sRGB.
    contrast : float
        Strength of the tone curve, 0 for none.
    saturation : float
        Factor of saturation, 1 for none.
    power : float
        Exponent put on linear light, 1 for none.

    Returns
    -------
    (..., 3) float32
        Linear light, 0 to 1.
    """
    import cv2

    if not pixels.size:
        return np.zeros(pixels.shape, np.float32)
    rows = np.ascontiguousarray(pixels).reshape(-1, pixels.shape[-2] if pixels.ndim > 2 else 1, 3)
    even = cv2.LUT(rows, _inverse_tone_curve(contrast))
    index = cv2.transform(even, _desaturation(saturation))
    if saturation < 1.0:
        np.clip(index, 0.0, _TABLE_SIZE - 1.0, out=index)
    linear = cv2.LUT(index.astype(np.uint16), _linear_table(power))
    return np.asarray(linear, np.float32).reshape(pixels.shape)


def mixed(even: NDArray[Any], mixing: NDArray[Any]) -> NDArray[Any]:
    """Mix channels as a chart tells: the camera's own colours to those of the standard observer.

    Parameters
    ----------
    even : (..., 3)
        Linear light over that of white, the tone taken off.
    mixing : (3, 8)
        By columns: weights of red, green, blue; stray light; weights of the roots of products;
        the exponent that each channel is raised to first.

    Returns
    -------
    (..., 3) of the same type
        Linear sRGB. The roots are those of root-polynomial correction, which a change of exposure
        leaves as it is (Finlayson, Mackiewicz, Hurlbert 2015), less the mean of their factors, so
        that they say nothing of greys.
    """
    raised = np.maximum(even, 0.0) ** mixing[:, 7]
    beside = np.roll(raised, -1, axis=-1)
    roots = np.sqrt(raised * beside) - (raised + beside) / 2.0
    told = raised @ mixing[:, :3].T + roots @ mixing[:, 4:7].T + mixing[:, 3]
    return np.asarray(told)


@lru_cache(maxsize=8)
def _inverse_tone_curve(contrast: float) -> Floats:
    """Return for each pixel value, 0 to 255, the encoded value before the tone curve, 0 to 1."""
    x = np.linspace(0.0, 1.0, 2049)
    curved = x + contrast * (3 * x**2 - 2 * x**3 - x)
    return np.interp(np.arange(256) / 255.0, curved, x).astype(np.float32).reshape(1, -1)


@lru_cache(maxsize=8)
def _desaturation(saturation: float) -> Floats:
    """Return the (3, 4) by which encoded values lose their saturation and become an index.

    What it adds rounds the index where its fraction is cut off, and never past the last entry.
    """
    weaker = np.eye(3) / saturation + (1.0 - 1.0 / saturation) * LUMA
    return np.column_stack([(_TABLE_SIZE - 1) * weaker, np.full(3, 0.49)]).astype(np.float32)


@lru_cache(maxsize=8)
def _linear_table(power: float) -> Floats:
    linear = lab.srgb_to_linear(np.linspace(0.0, 1.0, _TABLE_SIZE)) ** power
    return np.asarray(linear, np.float32).reshape(1, -1)
