"""Pinked edges: cloth cut with shears that leave a row of small teeth.

The ideal side of such a square runs along the tips of its teeth, while the edge seen lies on
average at their middle. Teeth show as a wave along the side, of one length in the whole bundle,
in a narrow strip at the edge: neither further in, where a print's own lines would go on, nor
further out. The wave's strength summed over the strip tells how deep the teeth are, whatever the
blur and wherever in the strip the supposed side runs.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.finding.edges import SPARE, band_colours
from catalog.finding.plane import Plane

Array = NDArray[np.float64]

SAMPLES = 192
"""Places along a side."""
STEP, REACH = 0.005, 9
"""Across the side: samples at this distance, in sides, so many to each side."""
FEWEST_TEETH, MOST_TEETH = 12, 80
"""Teeth on a side: from 1/5 in on a 2 1/2 in square to 1/8 in on a 10 in one (common practice:
shears are made with 1/8 to 1/4 in between the tips)."""
PIXELS = 2.5
"""Teeth that show smaller than this can't be seen, px."""
PROBE, PROMISING = 16, 0.25
"""Squares that are looked at first, and what of `PINKED_BUNDLE` they must show."""
PINKED_BUNDLE, PINKED = 0.5, 0.45
"""Mean and single natural logarithms by which the wave stands out of what is round it. Dev photos:
0.75 and 3.4 where 38 of 72 and 40 of 40 are pinked, at most 0.3 where none is; of single squares
0.37 at most where they are plain, 0.6 and more for nine in ten that are pinked."""
CLEAR, STRONG = 1.5, 30.0
"""Sides that tell how deep the teeth are: such waves, so many levels between cloth and ground."""
DEPTH = (0.3, 0.7)
"""Least and greatest depth of teeth, in their own widths (common practice: about half)."""
WEAK = 100.0
"""Squared levels of noise."""


@dataclass(frozen=True)
class Pinking:
    """How the bundle's teeth are."""

    wave: int
    """Which line of the spectrum along a side is theirs; 0 where there are none."""
    depth: float
    """From tip to root, in sides."""


PLAIN = Pinking(0, 0.0)


def pinking_of(levels: list[NDArray[np.uint8]], plane: Plane, corners: Array) -> Pinking:
    """Whether a bundle of squares (n, 4, 2) is pinked, and how deep.

    Squares of the bundle may be pinked or not, but the teeth are taken to be of one make.
    """
    side_px = _side_px(plane, corners)
    most = int(min(MOST_TEETH, side_px / PIXELS) * (1 - 2 * SPARE))
    if most - FEWEST_TEETH < 8:
        return PLAIN
    probe = corners[:: -(-len(corners) // PROBE)]
    if _best_wave(_standing_out(*_spectra(levels, plane, probe)), most)[1] < PINKED_BUNDLE:
        return PLAIN
    spectra, contrast = _spectra(levels, plane, corners)
    out = _standing_out(spectra, contrast)
    wave, strength = _best_wave(out, most)
    if strength < PINKED_BUNDLE:
        return PLAIN
    clear = (_near(out, wave) > CLEAR) & (contrast > STRONG)
    if not clear.any():
        return PLAIN
    low, high = (share * (1 - 2 * SPARE) / wave for share in DEPTH)
    depth = float(np.median(_depth(spectra, contrast, wave)[clear]))
    return Pinking(wave, float(np.clip(depth, low, high)))


def tips(levels: list[NDArray[np.uint8]], plane: Plane, corners: Array, pinking: Pinking) -> Array:
    """How far the tips of the teeth reach beyond their middle, (n,) in sides; 0 where none are."""
    if not pinking.wave or not len(corners):
        return np.zeros(len(corners))
    out = _near(_standing_out(*_spectra(levels, plane, corners)), pinking.wave)
    pinked = np.sort(out, axis=1)[:, 1:3].mean(axis=1) > PINKED
    return np.where(pinked, pinking.depth / 2, 0.0)


def _side_px(plane: Plane, corners: Array) -> float:
    quads = plane.to_photo(corners)
    return float(np.median(np.linalg.norm(np.roll(quads, -1, axis=1) - quads, axis=-1)))


def _spectra(
    levels: list[NDArray[np.uint8]], plane: Plane, corners: Array
) -> tuple[NDArray[np.complex64], Array]:
    """Spectra (n, 4, waves, across) along the sides of the cloth's share in the colour.

    Also the contrast (n, 4) between cloth and what lies beside it, levels.
    """
    along = SPARE + (1 - 2 * SPARE) * (np.arange(SAMPLES) + 0.5) / SAMPLES
    colours = band_colours(levels, plane, corners, along, np.arange(-REACH, REACH + 1.0) * STEP)
    colours = colours.astype(np.float32)
    change = colours[..., :4, :].mean(axis=(2, 3)) - colours[..., -4:, :].mean(axis=(2, 3))
    contrast = np.linalg.norm(change, axis=-1)
    towards = change / (contrast[..., None] + 1e-6)
    share = (colours @ towards[:, :, None, :, None])[..., 0]
    share -= share.mean(axis=2, keepdims=True)
    window = np.hanning(SAMPLES).astype(np.float32)
    waves = np.fft.rfft(share * window[:, None], axis=2)
    return (waves * (2 / np.sqrt(SAMPLES * (window**2).sum()))).astype(np.complex64), contrast


def _standing_out(spectra: NDArray[np.complex64], contrast: Array) -> Array:
    """How much each wave stands out at the edge, (n, 4, waves), natural logarithms of power."""
    power = np.abs(spectra) ** 2 / (contrast[..., None, None] ** 2 + WEAK)
    power[:, :, 1:-1] = power[:, :, :-2] + power[:, :, 1:-1] + power[:, :, 2:]
    edge = power[..., 3:-3].max(axis=3)
    inside = power[..., :3].mean(axis=3)
    padded = np.pad(edge, ((0, 0), (0, 0), (8, 8)), mode="reflect")
    usual = np.median(np.lib.stride_tricks.sliding_window_view(padded, 17, axis=2), axis=-1)
    return np.asarray(np.log(edge / (np.maximum(usual, inside) + 1e-4) + 1e-9), np.float64)


def _best_wave(out: Array, most: int) -> tuple[int, float]:
    pooled = out.mean(axis=(0, 1))[FEWEST_TEETH : most + 1]
    return FEWEST_TEETH + int(pooled.argmax()), float(pooled.max())


def _near(out: Array, wave: int) -> Array:
    return np.asarray(out[:, :, wave - 1 : wave + 2].max(axis=2))


def _depth(spectra: NDArray[np.complex64], contrast: Array, wave: int) -> Array:
    """Depth of the teeth of each side, (n, 4) in sides.

    A wave's amplitude summed across the edge is the cloth's contrast times the amplitude of the
    outline's own wave; that of a triangle wave of depth d is 4 d / pi squared.
    """
    across = spectra[:, :, wave - 2 : wave + 3, 2:-2].sum(axis=3) * STEP
    amplitude = np.sqrt((np.abs(across) ** 2).sum(axis=2)) / (contrast + 1e-6)
    return np.asarray(amplitude * np.pi**2 / 4)
