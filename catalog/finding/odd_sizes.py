"""Which squares are of another size than the bundle's.

What `edges.own_size` tells of a square cut to another size is true of its width and its height
alike. A square cut amiss leaves the usual size one way, and a misread side looks just so: it is
told where it is off by more than sides are misread.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog.finding.edges.side_lines import sides_measured

Array = NDArray[np.float64]

MUCH = 0.06
"""A measure off by more than this part of a side (5/16 in at 5 in) is odd whatever the other is.
On the dev photos, where no square is odd, none was told."""


def odd_sizes(size: Array, usual: Array, seen: Array, shown: Array) -> NDArray[np.bool_]:
    """Which squares, (n,), are of an odd size.

    Parameters
    ----------
    size : (n, 2)
        Width and height, where 1 is the bundle's.
    usual : (n,)
        The size that each was held to, 1 but for those told to be of another.
    seen, shown : (n, 4)
        How clearly each side is seen, and how much of it no other square covers, 0 to 1.
    """
    off = np.where(sides_measured(seen, shown), np.abs(size - 1), 0.0)
    return np.asarray((usual != 1) | (off.max(axis=1) > MUCH))
