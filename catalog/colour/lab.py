"""sRGB, XYZ, CIELAB, the CIEDE2000 difference and published colour names.

Light is relative to D65 as the 2 degree observer sees it. Everything here is plain numpy.
"""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from catalog.colour.ciede2000 import ciede2000, ciede2000_matrix

__all__ = [
    "chroma",
    "ciede2000",
    "ciede2000_matrix",
    "hue_angle",
    "lab_to_hex",
    "lab_to_linear",
    "lab_to_srgb8",
    "linear_to_lab",
    "linear_to_srgb",
    "munsell_value",
    "name_colour",
    "name_colours",
    "pixels_to_lab",
    "srgb8_to_lab",
    "srgb_to_linear",
]

Floats = NDArray[np.float64]

WHITE = np.array([0.3127 / 0.3290, 1.0, (1.0 - 0.3127 - 0.3290) / 0.3290])
"""XYZ of D65 from x 0.3127, y 0.3290 (CIE 15, 2 degree observer)."""

_PRIMARIES = np.array([[0.64, 0.33], [0.30, 0.60], [0.15, 0.06]])
"""x, y of red, green, blue (IEC 61966-2-1)."""

_EPSILON = 216.0 / 24389.0
"""Below this Y/Yn CIELAB runs straight (CIE 15: (6/29)^3)."""
_KAPPA = 24389.0 / 27.0
"""Slope of that straight part (CIE 15: (29/3)^3)."""

NEAR_TIE = 0.8
"""CIEDE2000 that half of observers can just see (Paravina et al. 2015)."""

NEUTRALS = ("black", "dark gray", "medium gray", "light gray", "white")
NEUTRAL_BORDERS = (25.3, 45.9, 66.0, 85.4)
"""L* of Munsell value 2.5, 4.5, 6.5 and 8.5 (ASTM D1535), which part the neutrals in NBS SP 440."""

_LUMINANCE_OF_VALUE = np.polynomial.Polynomial(
    (0.0, 1.1914, -0.22533, 0.23352, -0.020484, 0.00081939)
)
"""Luminance, 100 for a perfect diffuser, of Munsell value (ASTM D1535)."""

NEUTRAL_CHROMA = (2.55, 0.86, 111.0)
"""C*ab of Munsell chroma 0.5, where NBS SP 440 ends its neutrals: mean, swing, and the hue
angle where it is greatest; fitted to colour-science's renotation, values 2 to 9, rms 0.5."""


def _rgb_to_xyz() -> Floats:
    """Return the 3 x 3 matrix of the sRGB primaries, scaled so that RGB 1, 1, 1 is D65."""
    x, y = _PRIMARIES.T
    columns = np.array([x / y, np.ones(3), (1.0 - x - y) / y])
    return columns * np.linalg.solve(columns, WHITE)


_XYZ_FROM_RGB = _rgb_to_xyz()
_RGB_FROM_XYZ = np.linalg.inv(_XYZ_FROM_RGB)
_XYZ_OVER_WHITE = (_XYZ_FROM_RGB.T / WHITE).astype(np.float32)
_LAB_FROM_F = np.array([[0, 500, 0], [116, -500, 200], [0, 0, -200]], np.float32)


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
    xyz = np.asarray(linear, np.float64) @ _XYZ_FROM_RGB.T / WHITE
    f = np.where(xyz > _EPSILON, np.cbrt(xyz), (_KAPPA * xyz + 16.0) / 116.0)
    x, y, z = f[..., 0], f[..., 1], f[..., 2]
    return np.stack([116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)], axis=-1)


def pixels_to_lab(linear: NDArray[np.float32]) -> NDArray[np.float32]:
    """Convert whole pictures as `linear_to_lab` does, in single precision: good to 0.001."""
    xyz = linear @ _XYZ_OVER_WHITE
    f = np.where(xyz > _EPSILON, np.cbrt(xyz), (_KAPPA * xyz + np.float32(16.0)) / 116.0)
    return np.asarray(f @ _LAB_FROM_F - np.array([16.0, 0.0, 0.0], np.float32), np.float32)


def lab_to_linear(lab: ArrayLike) -> Floats:
    """Convert CIELAB D65, shape (..., 3), to linear sRGB; outside 0 to 1 where out of gamut."""
    colour = np.asarray(lab, np.float64)
    y = (colour[..., 0] + 16.0) / 116.0
    f = np.stack([y + colour[..., 1] / 500.0, y, y - colour[..., 2] / 200.0], axis=-1)
    cube = f**3
    xyz = np.where(cube > _EPSILON, cube, (116.0 * f - 16.0) / _KAPPA) * WHITE
    linear: Floats = xyz @ _RGB_FROM_XYZ.T
    return linear


def srgb8_to_lab(srgb: NDArray[np.uint8]) -> Floats:
    """Convert uint8 sRGB pixels, shape (..., 3), to CIELAB D65, same shape."""
    return linear_to_lab(srgb_to_linear(srgb.astype(np.float64) / 255.0))


def lab_to_srgb8(lab: ArrayLike) -> NDArray[np.uint8]:
    """Convert CIELAB D65, shape (..., 3), to uint8 sRGB, clipped to what sRGB can show."""
    return np.rint(linear_to_srgb(lab_to_linear(lab)) * 255.0).astype(np.uint8)


def lab_to_hex(lab: ArrayLike) -> str:
    """Write one CIELAB colour as ``#rrggbb``, clipped to what sRGB can show."""
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


def munsell_value(lightness: float) -> float:
    """Return the value on Munsell's scale, 0 for black to 10 for white, of a lightness L*.

    By the relation of luminance to value in ASTM D1535, turned round.
    """
    reach = (np.array([min(max(lightness, 0.0), 100.0)]) + 16.0) / 116.0
    luminance = 100.0 * np.where(reach**3 > _EPSILON, reach**3, (116.0 * reach - 16.0) / _KAPPA)
    values = np.linspace(0.0, 10.0, 1001)
    return float(np.interp(luminance, _LUMINANCE_OF_VALUE(values), values)[0])


def name_colour(lab: ArrayLike) -> tuple[str, tuple[str, ...]]:
    """Name a colour by the ISCC-NBS system (NBS Special Publication 440).

    Neutrals are told apart by the system's own borders of Munsell value, all other colours
    by the nearest middle of a block.

    Parameters
    ----------
    lab : array_like, (3,)
        CIELAB D65.

    Returns
    -------
    name : str
        Lower case, in the system's own spelling, such as ``light purplish pink``.
    near : tuple of str
        Other names that are as good to within `NEAR_TIE`, nearest first.
    """
    colour = np.asarray(lab, np.float64)
    names, middles = _blocks()
    distances = ciede2000(colour, middles)
    ranked = sorted(zip(distances.tolist(), names, strict=True))
    tinted = [name for distance, name in ranked if distance <= ranked[0][0] + NEAR_TIE]
    strength, limit = float(chroma(colour)), float(_neutral_limit(colour))
    stretch = limit / max(strength, 1e-9)
    at_limit = colour * (1.0, stretch, stretch)
    at_border = strength > 0.0 and float(ciede2000(colour, at_limit)) <= NEAR_TIE / 2
    if strength < limit:
        found = _neutrals(colour) + (tinted if at_border else [])
    else:
        found = tinted + (_neutrals(colour) if at_border else [])
    return found[0], tuple(found[1:])


def name_colours(colours: ArrayLike) -> list[str]:
    """Name many colours, CIELAB (n, 3), each as `name_colour` does."""
    all_of_them = np.asarray(colours, np.float64).reshape(-1, 3)
    names, middles = _blocks()
    nearest = ciede2000(all_of_them[:, None], middles).argmin(axis=1)
    tinted = chroma(all_of_them) >= _neutral_limit(all_of_them)
    steps = np.searchsorted(NEUTRAL_BORDERS, all_of_them[:, 0], side="right")
    return [
        names[block] if has_hue else NEUTRALS[step]
        for block, has_hue, step in zip(nearest, tinted, steps, strict=True)
    ]


def _neutral_limit(colour: Floats) -> Floats:
    """Return the chroma, (...), below which colours (..., 3) are neutral."""
    mean, swing, peak = NEUTRAL_CHROMA
    return np.asarray(mean + swing * np.cos(np.radians(hue_angle(colour) - peak)))


def _neutrals(colour: Floats) -> list[str]:
    """Return the neutral of this lightness, then one whose border is as near as no matter."""
    step = int(np.searchsorted(NEUTRAL_BORDERS, colour[0], side="right"))
    names = [NEUTRALS[step]]
    for border, beyond in ((step - 1, step - 1), (step, step + 1)):
        if 0 <= border < len(NEUTRAL_BORDERS):
            there = (NEUTRAL_BORDERS[border], colour[1], colour[2])
            if float(ciede2000(colour, there)) <= NEAR_TIE / 2:
                names.append(NEUTRALS[beyond])
    return names


@cache
def _blocks() -> tuple[tuple[str, ...], Floats]:
    """Return the names of all but the neutral blocks, sorted, and their middles (n, 3)."""
    text = (files("catalog.colour") / "names" / "iscc_nbs.csv").read_text(encoding="utf-8")
    lines = (line for line in text.splitlines() if not line.startswith("#"))
    rows = [row for row in csv.DictReader(lines) if row["name"] not in NEUTRALS]
    rows.sort(key=lambda row: row["name"])
    middles = np.array([[float(row[axis]) for axis in "Lab"] for row in rows])
    return tuple(row["name"] for row in rows), middles


@cache
def _linear_of_byte() -> NDArray[np.float32]:
    """Return the linear light of each of the 256 byte values."""
    return srgb_to_linear(np.arange(256) / 255.0).astype(np.float32)
