"""The photo in grey, for the eye to judge value: how light or dark, whatever the colour."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

import numpy as np
from numpy.typing import NDArray

from catalog.bundle.square_differences import reads_as
from catalog.colour.lab import lab_to_linear, linear_to_srgb, srgb_to_linear
from catalog.colour.munsell import munsell_value
from catalog.models import SquareSet, Swatch
from catalog.report.palette_bars import palette_bars
from catalog.report.pictures.marks.bar_drawing import draw_bar
from catalog.report.pictures.outlines import (
    Pixels,
    Points,
    Shown,
    draw_label,
    draw_numbers,
    draw_outline,
    draw_plate,
    is_doubtful,
)

LUMINANCE = np.array([[0.2126, 0.7152, 0.0722]], np.float32)
"""Weights of red, green, blue (IEC 61966-2-1)."""
SAMPLED = np.linspace(0.15, 0.85, 15)
"""Where a square's light is read, in shares of its sides."""
STRIP = 64
"""Rows at a time, so that no copy of the picture in linear light is made."""
MAX_GAIN = 4.0
"""By how much a square may be lightened at most."""


def draw_values(shown: Shown, sets: Sequence[SquareSet]) -> Pixels:
    """Draw a photo in grey, each square as light as it was measured; the photo itself stays.

    Outlines, labels and the sets' numbers are those of the found picture. Below its label each
    square bears the greys of its colours as they hang at the wall, each as wide as its share, and
    along its foot the word for its value in the bundle with its value on the scale from 0, black,
    to 10, white.

    Parameters
    ----------
    shown, sets
        As for `draw_found`.

    Returns
    -------
    array, (height, width), uint8
    """
    small, here, corners = shown
    picture = _grey(small, [(corners[label], here[label]) for label in here])
    bars = palette_bars(list(here.values()), "wall", None)
    for (label, swatch), bar in zip(here.items(), bars, strict=True):
        draw_outline(picture, corners[label], is_doubtful(swatch))
        draw_bar(picture, corners[label], bar)
        draw_label(picture, corners[label], label, is_doubtful(swatch))
        words = f"{reads_as(swatch)} {munsell_value(swatch.lab[0]):.1f}"
        draw_plate(picture, corners[label], (0.055, 0.8), words)
    draw_numbers(picture, sets, corners)
    return picture


def _grey(small: Pixels, squares: Sequence[tuple[Points, Swatch]]) -> Pixels:
    """Return a picture in grey, its squares' mean luminance set to what was measured."""
    import cv2

    _, encoded = _curves()
    gain = np.full(small.shape[:2], 65535.0, np.float32)
    if squares:
        quads = np.array([corners for corners, _ in squares])
        measured = lab_to_linear([(swatch.lab[0], 0.0, 0.0) for _, swatch in squares])[:, 1]
        gains = np.minimum(measured / np.maximum(_seen(small, quads), 1e-4), MAX_GAIN)
        for quad, lighter in zip(_sixteenths(quads), gains.tolist(), strict=True):
            cv2.fillConvexPoly(gain, quad, 65535.0 * lighter, shift=4)
    grey = np.empty(small.shape[:2], np.uint8)
    for top in range(0, len(grey), STRIP):
        here = slice(top, top + STRIP)
        steps = np.minimum(_luminance(small[here]) * gain[here], 65535.0)
        cv2.LUT(steps.astype(np.uint16), encoded, dst=grey[here])
    return grey


def _luminance(pixels: Pixels) -> NDArray[np.float32]:
    """Return relative luminance (height, width) of sRGB pixels."""
    import cv2

    return np.asarray(cv2.transform(cv2.LUT(pixels, _curves()[0]), LUMINANCE), np.float32)


@cache
def _curves() -> tuple[NDArray[np.float32], NDArray[np.uint8]]:
    """Return linear light of 256 sRGB values, and sRGB values of 65536 steps of linear light."""
    linear = srgb_to_linear(np.arange(256, dtype=np.uint8)).reshape(1, -1)
    encoded = np.rint(linear_to_srgb(np.linspace(0.0, 1.0, 65536)) * 255.0)
    return linear, encoded.astype(np.uint8).reshape(1, -1)


def _seen(small: Pixels, quads: Points) -> NDArray[np.float64]:
    """Return the mean luminance, (n,), of squares (n, 4, 2) in the picture."""
    high, wide, _ = small.shape
    across, down = (share[..., None] for share in np.meshgrid(SAMPLED, SAMPLED))
    first, second, third, fourth = quads[:, :, None, None].transpose(1, 0, 2, 3, 4)
    above = first + across * (second - first)
    below = fourth + across * (third - fourth)
    points = np.floor(above + down * (below - above)).astype(np.intp)
    xs, ys = np.clip(points[..., 0], 0, wide - 1), np.clip(points[..., 1], 0, high - 1)
    seen = _luminance(small[ys, xs].reshape(len(quads), -1, 3))
    return np.asarray(seen.mean(axis=1), np.float64)


def _sixteenths(corners: Points) -> NDArray[np.int32]:
    """Return corners for OpenCV, which counts from the centre of the first pixel."""
    return np.round((corners - 0.5) * 16).astype(np.int32)
