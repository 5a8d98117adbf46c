"""What lies on a square, or is folded over, and isn't its cloth."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog.colour import lab

Floats = NDArray[np.floating]
Shown = NDArray[np.float32]

CALM = 7.0
"""Median CIELAB distance of the cloth's pixels from their middle, up to which what stands out can't
be the print itself: plains and tonals."""
STANDS_OUT = (12.0, 3.5)
"""CIELAB distance from which a pixel stands out, at least, and in medians of all distances."""
TOGETHER = 0.85
"""Share of the pixels that stand out which has to lie in one piece; the motifs of a print lie
apart."""
DARKEST = 0.002
"""Linear light below which a ratio says nothing."""
LEAST, MOST = 0.01, 0.35
"""Share of the square that such a thing covers."""

SHADE_TINT, SHADE_VARIATION = 0.5, 10.0
"""Natural logarithm by which the channels of what stands out may be unlike those of the cloth, and
standard deviation of its L*, up to which it may be light on the cloth: 0.05 to 0.40 and 1.8 to 9.6
for the 14 shades taken for things on 25 photos with truth, while one of the two is 0.8 to 1.1 or
10.9 to 26 for the five things (scissors, clip, spool, folded corner, ground)."""


def uncovered(colours: Floats, shown: Shown) -> Shown:
    """Mark the cloth that nothing lies on: no scissors, label, folded corner, glare.

    Told on plain and tonal cloth only, where one piece that reaches in from the square's edge has
    another colour than all the rest.

    Parameters
    ----------
    colours : (n, side, side, 3)
        CIELAB of squares laid flat.
    shown : (n, side, side)
        0 where neighbours may lie over them.

    Returns
    -------
    (n, side, side) float32
        ``shown``, with what is covered set to 0; the same object where nothing is.
    """
    away, usual = _away(colours, shown)
    least = np.maximum(STANDS_OUT[0], STANDS_OUT[1] * usual)
    out = (away > least[:, None, None]) & (shown > 0)
    share = out.mean(axis=(1, 2)) / shown.mean(axis=(1, 2))
    doubtful = np.flatnonzero((usual <= CALM) & (share > LEAST) & (share < MOST))
    left = shown.copy() if len(doubtful) else shown
    some = False
    for index in doubtful:
        thing = _thing(out[index])
        if thing is None:
            continue
        bare = np.where(thing, np.float32(0.0), shown[index])
        if bare.sum() > 0.5 * shown[index].sum():
            left[index], some = bare, True
    return left if some else shown


def is_shade(colours: Floats, shown: Shown, left: Shown) -> bool:
    """Tell whether what was left out of a square may be a shadow or a glare and no thing.

    Parameters
    ----------
    colours : (side, side, 3)
        CIELAB.
    shown, left : (side, side)
        What was shown of it, and what `uncovered` left of that.
    """
    thing, cloth = colours[(shown > 0) & (left == 0)], colours[left > 0]
    if not len(thing) or not len(cloth):
        return False
    middles = np.maximum(lab.lab_to_linear([np.median(thing, 0), np.median(cloth, 0)]), DARKEST)
    unlike = float(np.ptp(np.log(middles[0] / middles[1])))
    return unlike < SHADE_TINT and float(thing[:, 0].std()) < SHADE_VARIATION


def _away(colours: Floats, shown: Shown) -> tuple[Floats, Floats]:
    """Return the pixels' distances, (n, side, side), from the cloth's middle, and their medians."""
    planes = np.ascontiguousarray(colours.transpose(0, 3, 1, 2))  # which take a third of the time
    few = planes[:, :, ::2, ::2].reshape(len(planes), 3, -1)
    seen = shown[:, ::2, ::2].reshape(len(planes), -1) > 0
    unseen = np.flatnonzero(~seen.all(axis=1))
    middle = _medians(few)
    for index in unseen:
        middle[index] = np.median(few[index][:, seen[index]], axis=1)
    planes -= middle[:, :, None, None]
    planes *= planes
    away = np.sqrt(np.add.reduce(planes, axis=1))
    sample = away[:, ::2, ::2].reshape(len(away), -1)
    usual = _medians(sample)
    for index in unseen:
        usual[index] = np.median(sample[index][seen[index]])
    return away, usual


def _medians(values: Shown) -> Shown:
    """Return medians along the last axis, of an even number, in a sixth of NumPy's time.

    Asked for both middle values at once, its selection does without the processor's wide vectors.
    """
    half = values.shape[-1] // 2
    parted = np.partition(values, half, axis=-1)
    return np.asarray((parted[..., :half].max(axis=-1) + parted[..., half]) * np.float32(0.5))


def _thing(out: NDArray[np.bool_]) -> NDArray[np.bool_] | None:
    """Return the one piece that stands out, and its rim; None where it may be the print's own."""
    import cv2

    marked = out.astype(np.uint8)
    joined = cv2.morphologyEx(marked, cv2.MORPH_CLOSE, np.ones((5, 5), np.uint8))
    _, marks, stats, _ = cv2.connectedComponentsWithStats(joined)
    largest = 1 + int(np.argmax(stats[1:, cv2.CC_STAT_AREA]))
    thing = marks == largest
    number = int(marked.sum())
    rim = np.concatenate([thing[0], thing[-1], thing[:, 0], thing[:, -1]])
    compact = thing.sum() < 2 * number
    if not (rim.any() and compact and marked[thing].sum() >= TOGETHER * number):
        return None
    return np.asarray(cv2.dilate(thing.astype(np.uint8), np.ones((5, 5), np.uint8)) > 0)
