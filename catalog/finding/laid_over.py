"""Rows that lie over one another: which way they lie, and where each square then is.

Where rows overlap, the line seen between two of them is one side only: the upper row's. A square
of the lower row fits it with the side that is really hidden just as well, and whole rows then slip.
But the bundle is laid one way, and the row on top of all shows two sides, a whole square apart: so
both ways are tried with all squares at once, neighbours in a row voting together on their shift,
and the way that explains more of the lines is kept.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from catalog.finding.edges import Evidence
from catalog.finding.neighbours import Row, axes, usual_space, ways

Array = NDArray[np.float64]

OVERLAP = 0.03
"""Rows that reach so far into each other, in the median, lie over one another, in sides."""
FLAT = 0.06
"""Votes this little above the middle of their band are noise."""
ALONG, ACROSS = 1.6, 0.2
"""Squares within about these distances along and across a row vote together, in sides."""
OWN = 0.2
"""Part of a vote that is the square's own."""
BLUR = 0.03
"""How far squares of a row leave its line, in sides."""
FAR_COST = 0.1
"""Votes that a shift to the end of the band costs."""


def overlapping(corners: Array) -> int | None:
    """One of the two sides that look across rows which lie over one another, else None."""
    for side, row in enumerate(ways(corners)):
        if usual_space(row) < -OVERLAP:
            return side % 2
    return None


def slipped_back(evidence: Evidence, corners: Array, weight: Array, axis: int) -> Array:
    """Squares (n, 4, 2) where the lines between rows are the upper rows' sides.

    Parameters
    ----------
    evidence : Evidence
        Seen along the sides, as far to each side as rows may have slipped.
    corners : (n, 4, 2)
        Where they are supposed, in the plane.
    weight : (n,)
        How much each square counts.
    axis : int
        From `overlapping`.
    """
    rows = ways(corners)
    tried = [(*_shifts(evidence, corners, weight, row), row) for row in rows[axis::2]]
    shift, _, row = max(tried, key=lambda one: one[1])
    across, _ = axes(row)
    return np.asarray(corners + (shift[:, None] * across)[:, None])


def _shifts(evidence: Evidence, corners: Array, weight: Array, row: Row) -> tuple[Array, float]:
    """How far each square moves ahead if the row ahead lies on top, and the votes for that.

    Then the side that looks back is seen of all squares, the one that looks ahead only of those
    with no row ahead.
    """
    offset, n = evidence.offset, np.arange(len(corners))
    votes = evidence.votes.mean(axis=2)
    votes = np.maximum(votes - np.median(votes, axis=2, keepdims=True) - FLAT, 0)
    back, front = votes[n, (row.side + 2) % 4][:, ::-1], votes[n, row.side]
    curve = back + np.where(row.ahead[:, None] >= 0, 0.0, front)
    curve = gaussian_filter1d(curve, BLUR / float(offset[1] - offset[0]), axis=1, mode="constant")
    near = weight * np.exp(-0.5 * _apart(corners, row))
    pooled = near / near.sum(axis=1, keepdims=True) @ curve
    choice = (1 - OWN) * pooled + OWN * curve - FAR_COST * (offset / offset[-1]) ** 2
    best = choice.argmax(axis=1)
    return offset[best], float((weight * pooled[n, best]).sum())


def _apart(corners: Array, row: Row) -> Array:
    """Squared distances (n, n) between squares, in units of ``ALONG`` and ``ACROSS``."""
    across, along = (axis.mean(axis=0) for axis in axes(row))
    middle = corners.mean(axis=1)
    gap = middle[None] - middle[:, None]
    return np.asarray((gap @ along / ALONG) ** 2 + (gap @ across / ACROSS) ** 2)
