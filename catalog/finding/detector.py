"""The detector: a small network that says roughly where squares of cloth lie.

It sees the whole photo at 640 x 480 and tells, on a grid of 4 px cells, how likely a square's
middle is there and which way its four corners lie. Where exactly is for the geometry to say.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from catalog.finding.smoothing import logistic
from catalog.image_pyramid import smallest_of
from catalog.system.shipped_network import network

WIDTH, HEIGHT = 640, 480
CELL_PX = 4
"""Pixels of the network's input to a cell of its answer."""
OFFSET_UNIT_PX = 32.0
"""Pixels to a unit of the told corner offsets."""
MIN_SCORE = 0.2
"""Peaks below this are nearly all false; the later stages see the rest (measured on dev photos)."""
MAX_PEAK_OVERLAP = 0.6
"""Part of the smaller quadrilateral that two answers may share before they are one square: rows
that half cover each other share half, and at 0.4 every other of them was lost (371 of 654 squares
of drawn layouts found instead of all)."""
SIZING_SCORE = 0.4
"""Peaks above this tell how large the squares show."""
SMALL, WELL = 36.0, 60.0
"""Squares that show smaller than this, px of the network's input, are looked at again at the other
size: at half the usual distance 22 % of the dev photos' squares were missed, and with it 0.5 %."""
MIN_SIDE_PX = 8.0
"""What shows smaller, px of the photo, is no square: an edge is blurred over two or three."""
MIN_REDUCTION = 2.0
"""How many px of the photo, or of the half of it that is looked at, a px of the network's input is
made of at least: less and it is blurred by both."""
MAX_WINDOWS = 6
"""Looks that are taken at most: each costs as much as the first."""

Window = tuple[int, int, int, int]
"""Left, top, right, bottom in px."""


@dataclass(frozen=True, eq=False)
class Detections:
    """What the detector saw, highest score first."""

    quads: NDArray[np.float64]
    """(n, 4, 2) corners in px of the photo, clockwise."""
    scores: NDArray[np.float64]
    """(n,) 0 to 1."""


def detect(levels: Sequence[NDArray[np.uint8]], quarters: int | None = None) -> Detections:
    """Look at a photo for squares of cloth; where they show small, look again from nearer.

    Parameters
    ----------
    levels : sequence of (height, width, 3) uint8
        The photo, RGB, then halves of it (`catalog.image_pyramid`).
    quarters : int, optional
        By how many quarters of a turn, against the clock, it is turned to be looked at; left out,
        so that it lies.
    """
    height, width = levels[0].shape[:2]
    if quarters is None:
        quarters = quarter_turns(levels[0])
    whole = (0, 0, height, width) if quarters % 2 else (0, 0, width, height)
    quads, scores = _look(levels, whole, whole, quarters)
    windows = _tiles(quads, scores, whole)
    if windows:
        looks = [_look(levels, window, whole, quarters) for window in windows]
        quads, scores = (np.concatenate(part) for part in zip(*looks, strict=True))
        order = np.lexsort((quads[:, 0, 0], quads[:, 0, 1], -scores))
        quads, scores = quads[order], scores[order]
    keep = [
        one for one in _non_maximum_suppression(quads) if _sides(quads[one]).mean() >= MIN_SIDE_PX
    ]
    quads = quads[keep]
    return Detections(clockwise(_turned_back(quads, quarters, width, height)), scores[keep])


def quarter_turns(pixels: NDArray[np.uint8]) -> int:
    """Quarters of a turn, against the clock, that make a photo lie."""
    return int(pixels.shape[0] > pixels.shape[1])


def _turned_back(
    quads: NDArray[np.float64], quarters: int, width: int, height: int
) -> NDArray[np.float64]:
    """Points of a picture turned by quarters against the clock as points of the picture."""
    for k in reversed(range(quarters % 4)):
        wide = height if k % 2 else width
        quads = np.stack([wide - quads[..., 1], quads[..., 0]], axis=-1)
    return quads


def _look(
    levels: Sequence[NDArray[np.uint8]], window: Window, whole: Window, quarters: int
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Quadrilaterals and their scores in px of the turned photo, seen through a window of it.

    It is looked at on the smallest level that the network's input still is half of.
    """
    scale = min(WIDTH / (window[2] - window[0]), HEIGHT / (window[3] - window[1]))
    level = smallest_of(levels, MIN_REDUCTION * scale * max(whole))
    view = np.rot90(level, quarters)
    pixel = np.array(whole[2:]) / view.shape[1::-1]
    near, far = np.floor(window[:2] / pixel), np.ceil(window[2:] / pixel)
    left, top, right, bottom = (int(px) for px in (*near, *np.minimum(far, view.shape[1::-1])))
    quads, scores = _detect_in(view, (left, top, right, bottom), quarters)
    return quads * pixel, scores


def _detect_in(
    view: NDArray[np.uint8], window: Window, quarters: int
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Quadrilaterals in px of the view and their scores, highest first, seen through a window.

    Those that the window cuts are left to the window beside it. The view is turned by quarters.
    """
    left, top, right, bottom = window
    scale = min(WIDTH / (right - left), HEIGHT / (bottom - top))
    quads, scores = _peaks(_network_answer(view[top:bottom, left:right], scale, quarters))
    quads = quads / scale + (left, top)
    low = np.array([left if left else -np.inf, top if top else -np.inf])
    high = np.array([right, bottom], float)
    high[high == view.shape[1::-1]] = np.inf
    within = ((quads > low) & (quads < high)).all(axis=(1, 2))
    return quads[within], scores[within]


def _tiles(quads: NDArray[np.float64], scores: NDArray[np.float64], whole: Window) -> list[Window]:
    """Overlapping windows in which the squares show large enough; none where they do already."""
    sizing = quads[scores > SIZING_SCORE]
    scale = min(WIDTH / whole[2], HEIGHT / whole[3])
    if not len(sizing):
        return []
    side = float(np.median(_sides(sizing)))
    if side * scale >= SMALL:
        return []
    low = np.maximum(sizing.min(axis=(0, 1)) - 1.5 * side, 0)
    high = np.minimum(sizing.max(axis=(0, 1)) + 1.5 * side, whole[2:])
    zoom = WELL / side
    while True:
        size = np.minimum(np.array([WIDTH, HEIGHT]) / zoom, whole[2:])
        count = np.maximum(1, np.ceil((high - low - 2 * side) / (size - 2 * side))).astype(int)
        if count.prod() <= MAX_WINDOWS:
            break
        zoom *= 0.9
    starts = [_tile_starts(low[k], high[k], size[k], count[k], whole[2 + k]) for k in (0, 1)]
    return [
        (int(x), int(y), int(min(x + size[0] + 1, whole[2])), int(min(y + size[1] + 1, whole[3])))
        for y in starts[1]
        for x in starts[0]
    ]


def _sides(quads: NDArray[np.float64]) -> NDArray[np.float64]:
    """Lengths (..., 4) of the sides of quadrilaterals (..., 4, 2)."""
    return np.asarray(np.linalg.norm(np.roll(quads, -1, axis=-2) - quads, axis=-1))


def _tile_starts(
    low: float, high: float, size: float, count: int, whole: int
) -> NDArray[np.float64]:
    """Where windows of a size begin that cover the stretch from low to high evenly."""
    if count == 1:
        low = high = (low + high) / 2
        low, high = low - size / 2, high + size / 2
    return np.clip(np.linspace(low, high - size, count), 0, whole - size)


def _network_answer(view: NDArray[np.uint8], scale: float, quarters: int) -> NDArray[np.float32]:
    lying = np.rot90(view, -quarters)  # as it lies in memory, so that only the small one is turned
    size = (max(1, round(lying.shape[1] * scale)), max(1, round(lying.shape[0] * scale)))
    small = np.rot90(cv2.resize(lying, size, interpolation=cv2.INTER_AREA), quarters)
    canvas = np.full((HEIGHT, WIDTH, 3), 127, np.uint8)
    canvas[: small.shape[0], : small.shape[1]] = small
    detector = read_detector()
    detector.setInput(canvas.transpose(2, 0, 1)[None].astype(np.float32) / 127.5 - 1)
    answer: NDArray[np.float32] = detector.forward()[0]
    return answer


def read_detector() -> cv2.dnn.Net:
    """Return the network, which is read once: beside something else where it is asked for early."""
    return network("catalog.finding", "detector", one_picture=True)


def _peaks(told: NDArray[np.float32]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Quadrilaterals (n, 4, 2) in px of the network's input and their scores, highest first."""
    scores = logistic(told[0].astype(np.float64))
    peak = (scores == cv2.dilate(scores, np.ones((5, 5)))) & (scores > MIN_SCORE)
    y, x = np.nonzero(peak)
    order = np.lexsort((x, y, -scores[y, x]))
    y, x = y[order], x[order]
    offsets = told[1:9, y, x].T.reshape(-1, 4, 2).astype(np.float64) * OFFSET_UNIT_PX
    cells = (np.stack([x, y], axis=-1) + 0.5) * CELL_PX
    return offsets + cells[:, None], scores[y, x]


def _non_maximum_suppression(quads: NDArray[np.float64]) -> list[int]:
    """Indices of the quadrilaterals that don't repeat a hotter one."""
    hulls = [cv2.convexHull(q.astype(np.float32)) for q in quads]
    areas = [cv2.contourArea(h) for h in hulls]
    middles = quads.mean(axis=1)
    apart = np.abs(middles[:, None] - middles).max(axis=2)
    close = apart < np.sqrt(np.maximum(areas, 1.0))[:, None]
    stays = np.zeros(len(quads), bool)
    for i in range(len(quads)):
        near = np.flatnonzero(close[i, :i] & stays[:i])
        shared = (cv2.intersectConvexConvex(hulls[k], hulls[i])[0] for k in near)
        stays[i] = areas[i] > 0 and all(
            s < MAX_PEAK_OVERLAP * min(areas[i], areas[k])
            for s, k in zip(shared, near, strict=True)
        )
    return [int(i) for i in np.flatnonzero(stays)]


def clockwise(quads: NDArray[np.float64]) -> NDArray[np.float64]:
    """Corners in clockwise order, beginning with the one of least x + y."""
    middle = quads.mean(axis=1, keepdims=True)
    angle = np.arctan2(*(quads - middle).transpose(2, 0, 1)[::-1])
    quads = np.take_along_axis(quads, np.argsort(angle, axis=1)[..., None], axis=1)
    first = np.argmin(quads.sum(axis=2), axis=1)
    turn = (first[:, None] + np.arange(4)) % 4
    return np.take_along_axis(quads, turn[..., None], axis=1)
