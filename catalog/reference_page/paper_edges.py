"""How large the page was printed, by the edges of its paper, whose size a standard tells."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.models import SeenPage
from catalog.reference_page.printed_layout import PAPER_MM, layout_of

Floats = NDArray[np.float64]

REACH_MM: Final = (8.0, 20.0)
"""How far inside and outside of where it is drawn an edge is looked for: from the blank margin on,
to where it lies if the page was printed at nine tenths."""
STEP_MM: Final = 0.25
LINES: Final = 32
"""Lines across each edge, along its middle eight tenths."""
MIN_CONTRAST: Final = 30.0
"""Levels, of 255, by which what lies round the paper has to differ from it."""
MAX_SPREAD_MM: Final = 0.8
"""Median deviation of the lines' answers beyond which an edge isn't taken for seen."""
MIN_LINES: Final = 0.6
"""Share of the lines that has to tell an edge."""
MAX_OBLONG: Final = 0.01
"""How far width and height may disagree: ISO 216 allows 2 mm of 297."""


def stretch_by_edges(pixels: NDArray[np.uint8], page: SeenPage) -> float | None:
    """Tell what a length on the paper is over what it was drawn as.

    Parameters
    ----------
    pixels : (height, width, 3) uint8
        The photo.
    page : SeenPage
        As its marks tell it.

    Returns
    -------
    float or None
        0.96 for a page printed at 96 %, on A4 or Letter paper; None unless all four edges are
        clearly seen, and both ways agree.
    """
    wide, high = layout_of(page.paper).size
    left, right = (_edge(pixels, page, 0, at, outward) for at, outward in ((0.0, -1), (wide, 1)))
    top, low = (_edge(pixels, page, 1, at, outward) for at, outward in ((0.0, -1), (high, 1)))
    if left is None or right is None or top is None or low is None:
        return None
    seen = np.array([right - left, low - top])
    best, apart = 1.0, np.inf
    for size in PAPER_MM.values():
        shares = np.log(np.array(size) / seen)
        if np.ptp(shares) < apart:
            best, apart = float(np.exp(shares.mean())), float(np.ptp(shares))
    return best if apart < MAX_OBLONG else None


def _edge(
    pixels: NDArray[np.uint8], page: SeenPage, axis: int, at: float, outward: int
) -> float | None:
    """Return where along an axis of the page its paper ends, mm; None where that isn't clear."""
    other = layout_of(page.paper).size[1 - axis]
    across = np.arange(-REACH_MM[0], REACH_MM[1], STEP_MM)
    points = np.empty((LINES, len(across), 2))
    points[..., axis] = at + outward * across
    points[..., 1 - axis] = np.linspace(0.1, 0.9, LINES)[:, None] * other
    colours = _read(pixels, page.shown(points))
    if colours is None:
        return None
    paper = np.median(colours[:, : round(2.0 / STEP_MM)], axis=(0, 1))
    away = np.linalg.norm(colours - paper, axis=2)
    clear = np.quantile(away, 0.9, axis=1) > MIN_CONTRAST
    if clear.mean() < MIN_LINES:
        return None
    places = np.array([_crossing(line) for line in away[clear]])
    middle = float(np.median(places))
    if np.median(np.abs(places - middle)) * STEP_MM > MAX_SPREAD_MM:
        return None
    return at + outward * (middle * STEP_MM - REACH_MM[0])


def _crossing(line: Floats) -> float:
    """Return where a line first rises to half of what it rises to, in steps."""
    half = np.quantile(line, 0.9) / 2.0
    after = max(int(np.argmax(line > half)), 1)
    low, high = line[after - 1], line[after]
    return after - 1 + float(np.clip((half - low) / max(high - low, 1e-6), 0.0, 1.0))


def _read(pixels: NDArray[np.uint8], points: Floats) -> Floats | None:
    """Return the colours at points (..., 2), px; None where some lie outside the photo."""
    import cv2

    high, wide = pixels.shape[:2]
    if (points < 0).any() or (points > (wide, high)).any():
        return None
    xs, ys = (np.asarray(points[..., axis] - 0.5, np.float32) for axis in (0, 1))
    read = cv2.remap(pixels, xs, ys, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(read, np.float64)
