"""A print as waves: which way they run, how long they are, and after how far it comes again."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Pixels = NDArray[np.float32]

WAVES = (1.2, 0.35)
"""Waves that are looked at: from so many over the patch, fewer being light and folds, to so many a
pixel, more being noise."""
LONG_SHARE = 0.25
"""Share of the contrast that lies in longer waves than those by which figures are sized: of checks
of 1/8, 1/4 and 1/2 in. it gives 0.12, 0.24 and 0.48 in."""
MIN_REPEAT = 0.5
"""Correlation at which a print comes again: 0.75 and more for checks, 0.3 at most for prints that
are scattered (the 23 photos with truth)."""
MIN_RUNS_ON = 0.6
"""Correlation above which a print stays where it runs on unchanged, as along stripes."""
MAX_REPEAT_LAG = 0.44
"""Over the patch: how far a repeat is looked for."""
NEAR_BEST = 0.9
"""Over the best, correlation from which a nearer repeat is taken for the repeat."""


@dataclass(frozen=True)
class PrintWaves:
    """What a print's waves tell."""

    figure_in: float
    """Inches that its figures measure: half the wave that a quarter of the contrast exceeds."""
    one_way: float
    """From 0, where waves run every way or as much across as along, to 1, where all run one way."""
    two_ways: float
    """To 1, where all run two ways, at right angles, or one."""
    repeat_in: tuple[float, float] | None
    """After how many inches it comes again, across and down; 0 where it runs on unchanged."""


@dataclass(frozen=True, eq=False)
class WavesOfPatch:
    """What is needed of waves over a patch, n of which are looked at."""

    window: Pixels
    """(side, side)"""
    twice: Pixels
    """(side // 2 + 1,) how often waves count by how many there are across: a real picture's other
    half is the same, so that they count twice save on its borders."""
    longest_first: NDArray[np.intp]
    """(n,) places, in half the plane of waves laid in one line, of those looked at."""
    table: Floats
    """(5, n) their weights, and the same times cosine and sine of twice and four times their angle.
    """
    lengths: Floats
    """(n,) half their lengths, over the patch."""
    alike_across: Floats
    """(lags, side // 2 + 1) how alike a wave leaves a picture to itself moved across by so many
    pixels, by how many waves there are across."""
    alike_down: Floats
    """(lags, side) the same moved down, by how many waves there are down."""


def waves_of(planes: Pixels, shown: NDArray[np.bool_], width_in: float) -> PrintWaves:
    """Tell a print's waves.

    Parameters
    ----------
    planes : (3, side, side) float32
        L*, a* and b* of a square laid flat.
    shown : (side, side) bool
        Which pixels are the square's cloth.
    width_in : float
        Inches of cloth along a side.
    """
    side = len(shown)
    waves = _waves(side)
    whole = bool(shown.all())
    seen = waves.window if whole else waves.window * shown
    middle = planes.reshape(3, -1) @ seen.ravel() / seen.sum()
    planes = planes - middle[:, None, None]
    planes *= seen
    power = _power(planes)
    contrast = power.ravel().take(waves.longest_first).astype(np.float64)
    total, *turned = (waves.table @ contrast).tolist()
    reached = np.cumsum(waves.table[0] * contrast)
    figure = waves.lengths[min(int(reached.searchsorted(LONG_SHARE * total)), len(reached) - 1)]
    covers = _cover_of_window(side) if whole else _cover_of(seen)
    across, down = (
        _repeat(row / cover / max(row[0] / cover[0], 1e-9))
        for row, cover in zip(_alike(power), covers, strict=True)
    )
    inch = width_in / side
    return PrintWaves(
        figure_in=float(figure) * width_in,
        one_way=math.hypot(turned[0], turned[1]) / max(total, 1e-9),
        two_ways=math.hypot(turned[2], turned[3]) / max(total, 1e-9),
        repeat_in=None if across is None or down is None else (across * inch, down * inch),
    )


def _power(planes: Pixels) -> Pixels:
    """Return the power of the waves, (side, side // 2 + 1), of pictures (n, side, side) in all."""
    import cv2

    packed = np.zeros(planes.shape[1:], np.float32)
    for plane in planes:
        cv2.accumulateSquare(cv2.dft(plane), packed)
    return np.asarray(_unpacked(packed[None])[0])


def powers(planes: Pixels) -> Pixels:
    """Return the power of the waves of pictures: the squares of their Fourier transforms.

    Parameters
    ----------
    planes : (n, side, side) float32
        ``side`` is even.

    Returns
    -------
    (n, side, side // 2 + 1)
        By waves down and waves across; a real picture's other half is the same.
    """
    import cv2

    packed = np.empty_like(planes)
    for plane, waves in zip(planes, packed, strict=True):
        cv2.dft(plane, waves)
    packed *= packed
    return _unpacked(packed)


def _unpacked(squares: Pixels) -> Pixels:
    """Return the power from squares of waves as OpenCV packs them, a quarter of unpacking's time.

    Along a row there is the wave that doesn't run across, then of each the real and the imaginary
    part, then the shortest; the first and the last are packed downwards in the same way.
    """
    half = squares.shape[-1] // 2
    power = np.empty((*squares.shape[:-1], half + 1), np.float32)
    np.add(squares[..., 1:-1:2], squares[..., 2::2], out=power[..., 1:-1])
    for edge in (0, -1):
        power[:, [0, half], edge] = squares[:, [0, -1], edge]
        power[:, 1:half, edge] = squares[:, 1:-1:2, edge] + squares[:, 2::2, edge]
        power[:, :half:-1, edge] = power[:, 1:half, edge]
    return power


def _alike(power: Pixels) -> tuple[Floats, Floats]:
    """Return how alike a picture is to itself, moved across and moved down by so many pixels."""
    waves = _waves(len(power))
    across, down = np.add.reduce(power.astype(np.float64)), power @ waves.twice
    return waves.alike_across @ across, waves.alike_down @ down


@lru_cache(maxsize=4)
def _cover_of_window(side: int) -> tuple[Floats, Floats]:
    return _cover_of(_waves(side).window)


def _cover_of(seen: Pixels) -> tuple[Floats, Floats]:
    """Return how much of a patch lies on itself, moved across and moved down by so many pixels."""
    across, down = _alike(_power(seen[None]))
    return np.maximum(across, 1e-6), np.maximum(down, 1e-6)


def _repeat(alike: Floats) -> float | None:
    """Return the lag, px, after which a print comes again; 0 where it stays so, None if never.

    Parameters
    ----------
    alike : (lags,)
        Correlation by lag, 1 at 0.
    """
    if alike.min() > MIN_RUNS_ON:
        return 0.0
    left, here, right = alike[:-2], alike[1:-1], alike[2:]
    first_low = int(np.argmax(right > here))  # before it the print is like itself where it stands
    tops = np.flatnonzero((here >= left) & (here > right) & (here >= MIN_REPEAT))
    tops = tops[tops >= first_low]
    if not len(tops):
        return None
    top = int(tops[here[tops] >= NEAR_BEST * here[tops].max()][0])
    bend = left[top] - 2.0 * here[top] + right[top]
    return float(top + 1 + 0.5 * (left[top] - right[top]) / bend)


@lru_cache(maxsize=4)
def _waves(side: int) -> WavesOfPatch:
    down, across = np.fft.fftfreq(side)[:, None] * side, np.fft.rfftfreq(side) * side
    number, angle = np.hypot(down, across).ravel(), np.arctan2(down, across).ravel()
    twice = np.where((across > 0) & (across < side / 2), 2.0, 1.0)
    order = np.argsort(number, kind="stable")
    order = order[(number[order] >= WAVES[0]) & (number[order] <= WAVES[1] * side)]
    weights, angle = np.tile(twice, side)[order], angle[order]
    lags = np.arange(int(MAX_REPEAT_LAG * side))[:, None] * (2.0 * np.pi / side)
    turned = [trig(k * angle) for k in (2, 4) for trig in (np.cos, np.sin)]
    return WavesOfPatch(
        window=np.outer(np.hanning(side), np.hanning(side)).astype(np.float32),
        twice=twice.astype(np.float32),
        longest_first=order,
        table=np.array([weights, *(weights * one for one in turned)]),
        lengths=0.5 / number[order],
        alike_across=twice * np.cos(lags * across) / side**2,
        alike_down=np.cos(lags * down.T) / side**2,
    )
