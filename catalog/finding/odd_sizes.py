"""Which squares are of another size than the bundle's.

A side is misread more often than a square is cut wrong: a line of a print or of the surface passes
for it. That spoils one measure of a square, while a square cut from another size leaves the usual
one both ways. So a square is told as odd where both measures agree, or one is off by much.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog.finding.edges.side_lines import sides_measured

Array = NDArray[np.float64]

OFF, AGREES, MUCH = 0.03, 0.02, 0.06
"""A measure off by the first part of a side (5/32 in at 5 in) is odd if the other is off the same
way by the second, or if it is off by the third. On drawn layouts 69 of 80 squares told were odd
indeed (of about 95 that are), on the dev photos, where none is, none was told."""
MIN_LONE_DEVIATION = 0.04
"""How far it is off where the other can't be measured."""


def odd_sizes(size: Array, seen: Array, shown: Array) -> NDArray[np.bool_]:
    """Which squares, (n,), are of an odd size.

    Parameters
    ----------
    size : (n, 2)
        Width and height, where 1 is the bundle's.
    seen, shown : (n, 4)
        How clearly each side is seen, and how much of it no other square covers, 0 to 1.
    """
    known = sides_measured(seen, shown)
    off = np.where(known, size - 1, 0.0)
    most, least = np.abs(off).max(axis=1), np.abs(off).min(axis=1)
    agree = (off.prod(axis=1) > 0) & (least > AGREES) & (most > OFF)
    return np.asarray(np.where(known.all(axis=1), agree | (most > MUCH), most > MIN_LONE_DEVIATION))
