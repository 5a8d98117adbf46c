"""sRGB, XYZ and CIELAB.

Light is relative to D65 as the 2 degree observer sees it. Everything here is plain numpy.
"""

from __future__ import annotations

from functools import cache, lru_cache
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

D65_WHITE = np.array([0.3127 / 0.3290, 1.0, (1.0 - 0.3127 - 0.3290) / 0.3290])
"""XYZ of D65 from x 0.3127, y 0.3290 (CIE 15, 2 degree observer)."""

_PRIMARIES = np.array([[0.64, 0.33], [0.30, 0.60], [0.15, 0.06]])
"""x, y of red, green, blue (IEC 61966-2-1)."""

LINEAR_BELOW = 216.0 / 24389.0
"""Below this Y/Yn CIELAB runs straight (CIE 15: (6/29)^3)."""
LINEAR_SLOPE = 24389.0 / 27.0
"""Slope of that straight part (CIE 15: (29/3)^3)."""


def _rgb_to_xyz() -> Floats:
    """Return the 3 x 3 matrix of the sRGB primaries, scaled so that RGB 1, 1, 1 is D65."""
    x, y = _PRIMARIES.T
    columns = np.array([x / y, np.ones(3), (1.0 - x - y) / y])
    return columns * np.linalg.solve(columns, D65_WHITE)


XYZ_FROM_RGB = _rgb_to_xyz()
"""(3, 3) linear sRGB light, 1 for white, to XYZ."""
_RGB_FROM_XYZ = np.linalg.inv(XYZ_FROM_RGB)
_XYZ_OVER_WHITE = (XYZ_FROM_RGB.T / D65_WHITE).astype(np.float32)
MAX_TABLED_LIGHT = 2.0
"""Light, over that of white, up to which there is a table for whole pictures."""
_F_TABLE_SIZE = 2**16
"""Its entries: OpenCV's for 16 bits."""
_LAB_FROM_F = np.array([[0, 500, 0], [116, -500, 200], [0, 0, -200]], np.float32)
_LAB_FROM_TABLED_F = np.column_stack([_LAB_FROM_F.T, np.array([-16.0, 0.0, 0.0], np.float32)])


def srgb_to_linear(srgb: NDArray[Any]) -> NDArray[Any]:
    """Take the sRGB curve off pixels (IEC 61966-2-1).

    Parameters
    ----------
    srgb : array of any shape
        uint8 0 to 255, or floats 0 to 1.

    Returns
    -------
    array of the same shape, linear light 0 to 1; float32 for uint8, else the floats' own type
    """
    if srgb.dtype == np.uint8:
        return np.take(_linear_of_byte(), srgb)
    low = srgb / 12.92
    high = ((np.maximum(srgb, 0.0) + 0.055) / 1.055) ** 2.4
    linear: NDArray[Any] = np.where(srgb <= 0.04045, low, high).astype(srgb.dtype, copy=False)
    return linear


def linear_to_srgb(linear: NDArray[Any]) -> NDArray[Any]:
    """Put the sRGB curve on linear light (IEC 61966-2-1).

    Parameters
    ----------
    linear : array of floats of any shape
        Linear light; what lies outside 0 to 1 is clipped.

    Returns
    -------
    array of the same shape and type, 0 to 1
    """
    light = np.clip(linear, 0.0, 1.0)
    high = 1.055 * light ** (1.0 / 2.4) - 0.055
    srgb: NDArray[Any] = np.where(light <= 0.0031308, light * 12.92, high)
    return srgb


def linear_to_lab(linear: ArrayLike) -> Floats:
    """Convert linear sRGB light, shape (..., 3), 1 for white, to CIELAB D65, same shape."""
    xyz = np.asarray(linear, np.float64) @ XYZ_FROM_RGB.T / D65_WHITE
    f = np.where(xyz > LINEAR_BELOW, np.cbrt(xyz), (LINEAR_SLOPE * xyz + 16.0) / 116.0)
    x, y, z = f[..., 0], f[..., 1], f[..., 2]
    return np.stack([116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)], axis=-1)


def pixels_to_lab(linear: NDArray[np.float32]) -> NDArray[np.float32]:
    """Convert whole pictures as `linear_to_lab` does, in single precision: good to 0.001."""
    import cv2

    if not linear.size:
        return np.zeros(linear.shape, np.float32)
    rows = np.ascontiguousarray(linear, np.float32).reshape(-1, linear.shape[-2], 3)
    xyz = cv2.transform(rows, _XYZ_OVER_WHITE.T)
    f = cv2.pow(xyz, 1.0 / 3.0)  # a tenth of the time that NumPy's cube root takes
    dark = xyz <= LINEAR_BELOW
    if dark.any():
        f[dark] = (LINEAR_SLOPE * xyz[dark] + np.float32(16.0)) / np.float32(116.0)
    return np.asarray(cv2.transform(f, _LAB_FROM_TABLED_F), np.float32).reshape(linear.shape)


def many_pixels_to_lab(linear: NDArray[np.float32]) -> NDArray[np.float32]:
    """Convert pictures (h, w, 3) as `pixels_to_lab` does, by a table: ten times as fast.

    Good to 0.05, in light below 0.02 to 0.6. Light below 0 is taken for 0, light above
    `MAX_TABLED_LIGHT` for that.
    """
    import cv2

    places = cv2.transform(linear, _XYZ_OVER_WHITE.T * (_F_TABLE_SIZE / MAX_TABLED_LIGHT))
    np.clip(places, 0.0, _F_TABLE_SIZE - 1.0, out=places)
    f = cv2.LUT(places.astype(np.uint16), _table_of_f())
    return np.asarray(cv2.transform(f, _LAB_FROM_TABLED_F), np.float32)


def lab_to_linear(lab: ArrayLike) -> Floats:
    """Convert CIELAB D65, shape (..., 3), to linear sRGB; outside 0 to 1 where out of gamut."""
    colour = np.asarray(lab, np.float64)
    y = (colour[..., 0] + 16.0) / 116.0
    f = np.stack([y + colour[..., 1] / 500.0, y, y - colour[..., 2] / 200.0], axis=-1)
    linear: Floats = _uncompressed(f) * D65_WHITE @ _RGB_FROM_XYZ.T
    return linear


def relative_luminance(lightness: ArrayLike) -> Floats:
    """Return Y over that of white, 0 to 1, of lightnesses L*, 0 to 100, of any shape."""
    return _uncompressed((np.asarray(lightness, np.float64) + 16.0) / 116.0)


def _uncompressed(f: Floats) -> Floats:
    """Take CIELAB's cube root off again."""
    cube = f**3
    return np.where(cube > LINEAR_BELOW, cube, (116.0 * f - 16.0) / LINEAR_SLOPE)


def srgb8_to_lab(srgb: NDArray[np.uint8]) -> Floats:
    """Convert uint8 sRGB pixels, shape (..., 3), to CIELAB D65, same shape."""
    return linear_to_lab(srgb_to_linear(srgb.astype(np.float64) / 255.0))


def lab_to_srgb8(lab: ArrayLike) -> NDArray[np.uint8]:
    """Convert CIELAB D65, shape (..., 3), to uint8 sRGB, clipped to what sRGB can show."""
    return np.rint(linear_to_srgb(lab_to_linear(lab)) * 255.0).astype(np.uint8)


@lru_cache(maxsize=16_384)
def lab_to_hex(lab: tuple[float, float, float]) -> str:
    """Write one CIELAB colour as ``#rrggbb``, clipped to what sRGB can show.

    It is remembered, as each table of a count says the same colours.
    """
    red, green, blue = lab_to_srgb8(lab)
    return f"#{red:02x}{green:02x}{blue:02x}"


def chroma(lab: ArrayLike) -> Floats:
    """Return C*ab of colours (..., 3): 0 for grey."""
    colour = np.asarray(lab, np.float64)
    return np.hypot(colour[..., 1], colour[..., 2])


def hue_angle(lab: ArrayLike) -> Floats:
    """Return h_ab of colours (..., 3) in degrees, from 0 up to below 360; 0 for grey."""
    colour = np.asarray(lab, np.float64)
    angle = np.degrees(np.arctan2(colour[..., 2], colour[..., 1])) % 360.0
    return np.where(angle < 360.0, angle, 0.0)


@cache
def _table_of_f() -> NDArray[np.float32]:
    """Return what CIELAB makes of light, entry by entry, up to `MAX_TABLED_LIGHT`."""
    light = (np.arange(_F_TABLE_SIZE) + 0.5) * MAX_TABLED_LIGHT / _F_TABLE_SIZE
    f = np.where(light > LINEAR_BELOW, np.cbrt(light), (LINEAR_SLOPE * light + 16.0) / 116.0)
    return f.astype(np.float32).reshape(1, -1)


@cache
def _linear_of_byte() -> NDArray[np.float32]:
    """Return the linear light of each of the 256 byte values."""
    return srgb_to_linear(np.arange(256) / 255.0).astype(np.float32)
