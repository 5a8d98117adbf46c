"""Squares of ground between squares that are set apart.

Where squares lie their own side apart, or corner to corner, the ground between them is square as
well, with a step of colour along its sides. What tells it from cloth: it is of the ground's
colours, it lies between squares that touch none but it, and where it borders on no square, there is
no step. White squares on a white sheet show their sides; and squares like the ground among others
lie beside others.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from catalog.finding.layout.neighbours import ways
from catalog.finding.surface_colour import BINS_PER_CHANNEL, bins_of, inner_places

Array = NDArray[np.float64]

AROUND = 1.12
"""Scaled by this about their middles, supposed squares hold all of their cloth."""
COMMON = 0.97
"""Part of the ground whose colours count as the ground's."""
MIN_GROUND_SHARE = 0.8
"""Part of a square that is of the ground's colours if it is ground (false ones on drawn layouts:
0.92 and more; squares of cloth like the ground reach 1 too)."""
MIN_CELLS = 4
"""Fewer are no ground between squares."""
MIN_SET_APART = 0.8
"""Part of the neighbours of the other squares that must be such: they are set apart."""
MAX_SEEN = 0.5
"""How clearly the sides that border on no square may be seen: 0.06 to 0.5 on drawn layouts of plain
ground; sides of white squares on white sheets are seen with 0.9 and more."""
FEW_OPEN = 4
"""So few such sides say nothing."""


def are_ground_cells(
    small: NDArray[np.uint8], quads: Array, corners: Array, seen: Array, scale: Array
) -> NDArray[np.bool_]:
    """Which squares, (n,), are ground between others.

    Parameters
    ----------
    small : (height, width, 3) uint8
        The photo, reduced.
    quads : (n, 4, 2)
        The squares in its px.
    corners : (n, 4, 2)
        The same in the plane.
    seen : (n, 4)
        How clearly each side is seen, 0 to 1.
    scale : (n,)
        What each measures, where squares are of two sizes.
    """
    like = _ground_share(small, quads) > MIN_GROUND_SHARE
    none = np.zeros(len(quads), bool)
    if like.sum() < MIN_CELLS:
        return none
    rows = ways(corners, scale)
    ahead = np.stack([row.ahead for row in rows], axis=1)
    side = np.stack([row.side for row in rows], axis=1)
    beside = (ahead >= 0) & ~like[:, None]
    open_ = like[:, None] & ((ahead < 0) | like[ahead])
    clear = np.take_along_axis(seen, side, axis=1)[open_]
    set_apart = beside.any() and like[ahead[beside]].mean() >= MIN_SET_APART
    bare = len(clear) <= FEW_OPEN or clear.mean() < MAX_SEEN
    return like if set_apart and bare else none


def _ground_share(small: NDArray[np.uint8], quads: Array) -> Array:
    """Part of each square (n,) that is of the colours which lie round all of them."""
    middle = quads.mean(axis=1, keepdims=True)
    cloth = np.zeros(small.shape[:2], np.uint8)
    for quad in np.round(middle + AROUND * (quads - middle)).astype(np.int32):
        cv2.fillConvexPoly(cloth, quad, 255)
    count = np.bincount(bins_of(small)[cloth == 0], minlength=BINS_PER_CHANNEL**3)
    order = np.argsort(-count, kind="stable")
    enough = np.searchsorted(np.cumsum(count[order]), COMMON * count.sum())
    common = np.zeros(len(count), bool)
    common[order[: int(enough) + 1]] = count.sum() > 0
    last = np.array(small.shape[1::-1]) - 1
    x, y = np.moveaxis(np.clip(np.floor(inner_places(quads)), 0, last).astype(int), -1, 0)
    return np.asarray(common[bins_of(small[y, x])].mean(axis=1))
