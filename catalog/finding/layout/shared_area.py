"""No two squares in one place: those that would lie in others and don't show as lying over them."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from catalog.finding.layout.occlusion import clearness

Array = NDArray[np.float64]

MAX_SHARED = 0.1
"""Part of the smaller of two squares that may lie in the other because of errors alone."""
MAX_COVERED = 0.5
"""Part of it that another may cover where squares lie in a heap."""
MIN_CLEARNESS = 0.5
"""How clearly the sides of the lower one that aren't covered must be seen."""
ALONG_ROWS = 0.5
"""Squares lie over one another as rows do if so much of the way between them is across the rows."""


def one_in_a_place(
    corners: Array, sure: Array, seen: Array, shown: Array, up: Array | None
) -> NDArray[np.bool_]:
    """Which squares (n,) stay, so that none lies in another unless it shows as lying over it.

    Parameters
    ----------
    corners : (n, 4, 2)
        In the plane.
    sure : (n,)
        Confidence; of two in one place the surer stays.
    seen, shown : (n, 4)
        How clearly each side is seen, and how much of it no other square covers.
    up : (2,), optional
        The direction in which rows lie over one another.
    """
    keep = np.ones(len(corners), bool)
    clear = clearness(seen, shown)
    worth = sure * clear
    middle = corners.mean(axis=1)
    for share, i, j in sorted(_shared(corners), reverse=True):
        gap = middle[i] - middle[j]
        in_rows = up is not None and abs(gap @ up) > ALONG_ROWS * np.linalg.norm(gap)
        in_heap = share < MAX_COVERED and min(clear[i], clear[j]) > MIN_CLEARNESS
        if keep[i] and keep[j] and not in_rows and not in_heap:
            keep[i if worth[i] < worth[j] else j] = False
    return keep


def _shared(corners: Array) -> list[tuple[float, int, int]]:
    """Pairs that share more than `MAX_SHARED` of the smaller, with how much."""
    quads = corners.astype(np.float32)
    areas = [abs(cv2.contourArea(quad)) for quad in quads]
    reach = np.linalg.norm(quads[:, 2] - quads[:, 0], axis=1) / 2
    middle = quads.mean(axis=1)
    apart = np.linalg.norm(middle[:, None] - middle, axis=2)
    found = []
    for i, j in np.argwhere(np.triu(apart < reach[:, None] + reach, 1)).tolist():
        common = cv2.intersectConvexConvex(quads[i], quads[j])[0]
        share = common / max(min(areas[i], areas[j]), 1e-9)
        if share > MAX_SHARED:
            found.append((float(share), i, j))
    return found
