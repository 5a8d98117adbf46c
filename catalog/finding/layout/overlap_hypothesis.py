"""Rows that lie over one another: which way they lie, and where each square then is.

The detector guesses the sides that lie hidden under the next row, and guesses them alike for a
whole row, so that the plane bends to them. So where squares seem to reach into each other, the
bundle is read again for each way that it may be laid: without the corners that then lie hidden,
which leaves the plane to what is seen. The way is taken whose lines the photo shows: all the sides
that look back, and of the sides that look ahead those of the row on top. A square fits the line
between two rows with the side that is really hidden as well, and whole rows then slip; neighbours
in a row vote together on that.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.finding.edges.edge_profile import EdgeProfiles
from catalog.finding.layout.neighbours import Facing, axes, usual_space, ways
from catalog.finding.plane_fitting import fit_plane
from catalog.finding.shared_plane import Plane, by_corner, poses_of
from catalog.finding.smoothing import gaussian, smoothed

Array = NDArray[np.float64]

MIN_DETECTED_OVERLAP = 0.02
"""Rows that reach so far into each other by the detector, in the median, are read as laid, in
sides."""
MIN_FITTED_OVERLAP = 0.03
"""Rows that still reach so far into each other when their edges are found lie over one another."""
MAX_UNLIKELIER = 4.0
"""By how much the camera of squares side by side may be less likely, in squared usual errors: 0 on
a drawn layout of touching squares that was taken for rows over one another, 8 to 16 on those of
rows over one another that could be fitted side by side (7000 to 7059)."""
NOISE_FLOOR = 0.06
"""Votes this little above the middle of their band are noise."""
ALONG, ACROSS = 1.6, 0.2
"""Squares within about these distances along and across a row vote together, in sides."""
OWN_WEIGHT = 0.3
"""Part of a vote that is the square's own."""
ROW_SPREAD = 0.03
"""How far squares of a row leave its line, in sides."""
SHIFT_COST = 0.3
"""Votes that a shift to the end of the band costs."""
MIN_UNSEEN_STRENGTH = 0.4
"""Votes that the side ahead of a square with no row ahead has at least: a row that the detector
passed over, or that the frame cuts, may hide it."""


@dataclass(frozen=True, eq=False)
class OverlapHypothesis:
    """The squares if the rows ahead of them, one way, lie on top."""

    plane: Plane
    corners: Array
    """(n, 4, 2) in the plane."""
    hidden: NDArray[np.bool_]
    """(n, 4) sides under the next row."""
    ahead: NDArray[np.int64]
    """(n,) which side of each square looks ahead."""


def overlap_hypotheses(
    plane: Plane, quads: Array, weight: Array, shape: tuple[int, ...]
) -> list[OverlapHypothesis]:
    """The ways in which the squares may lie over one another; none where they don't overlap.

    Parameters
    ----------
    plane : Plane
        Fitted to all corners.
    quads : (n, 4, 2)
        The detector's outlines, px.
    weight : (n,)
        How much each counts.
    shape : tuple
        Height and width of the photo, px.
    """
    found = []
    for row in ways(poses_of(plane.to_plane(quads)).corners()):
        if not usual_space(row) < -MIN_DETECTED_OVERLAP:
            continue
        hidden = np.zeros((len(quads), 4), bool)
        here = np.flatnonzero(row.ahead >= 0)
        hidden[here, row.side[here]] = True
        known = by_corner(np.where(hidden, 0.0, 1.0))
        again = fit_plane(quads, weight[:, None] * (known + 1e-3), shape, start=plane)
        corners = poses_of(again.to_plane(quads), known).corners()
        found.append(OverlapHypothesis(again, corners, hidden, row.side))
    return found


def row_of(corners: Array, ahead: NDArray[np.int64]) -> Facing | None:
    """The squares (n, 4, 2) in the order of a reading; None if they don't overlap that way."""
    row = max(ways(corners), key=lambda row: np.mean(row.side == ahead))
    return row if usual_space(row) < -MIN_FITTED_OVERLAP else None


def flat_explains(flat: Plane, corners: Array, laid: Plane) -> bool:
    """Whether squares (n, 4, 2) that are supposed to lie side by side explain the photo as well.

    Side by side, squares fitted to their lines must not overlap any more; and the camera that shows
    them so must not be less likely than the one that shows rows over one another, since squares of
    which only strips show look like squares seen from aside.
    """
    apart = [usual_space(row) for row in ways(corners)]
    if any(space < -MIN_FITTED_OVERLAP for space in apart):
        return False
    return flat.unlikeliness() < laid.unlikeliness() + MAX_UNLIKELIER


def supported_strength(evidence: EdgeProfiles, weight: Array, row: Facing) -> float:
    """Votes for the lines that are seen if the rows ahead lie on top."""
    back, front = _by_way(_blurred(_raised(evidence), evidence.offset), row)
    middle = len(evidence.offset) // 2
    near = (back + front)[:, middle - 1 : middle + 2]
    return float((weight * near.max(axis=1)).sum())


def slipped_back(evidence: EdgeProfiles, corners: Array, weight: Array, row: Facing) -> Array:
    """Squares (n, 4, 2) where the lines between rows are the upper rows' sides.

    Parameters
    ----------
    evidence : EdgeProfiles
        Seen along the sides, as far to each side as rows may have slipped.
    corners : (n, 4, 2)
        Where they are supposed, in the plane.
    weight : (n,)
        How much each square counts.
    row : Facing
        From `row_of`.
    """
    offset = evidence.offset
    back, front = _by_way(_raised(evidence), row)
    top = (row.ahead < 0)[:, None]
    curve = _blurred(
        back[:, ::-1] + np.where(top, np.maximum(front, MIN_UNSEEN_STRENGTH), 0), offset
    )
    near = weight * np.exp(-0.5 * _apart(corners, row))
    pooled = near / near.sum(axis=1, keepdims=True) @ curve
    choice = (
        (1 - OWN_WEIGHT) * pooled + OWN_WEIGHT * curve - SHIFT_COST * (offset / offset[-1]) ** 2
    )
    across, _ = axes(row)
    return np.asarray(corners + (offset[choice.argmax(axis=1), None] * across)[:, None])


def _raised(evidence: EdgeProfiles) -> Array:
    """How far votes (n, 4, k) stand out of their band."""
    votes = evidence.votes.mean(axis=2)
    raised = votes - np.median(votes, axis=2, keepdims=True) - NOISE_FLOOR
    return np.asarray(np.maximum(raised, 0), np.float64)


def _blurred(votes: Array, offset: Array) -> Array:
    width = ROW_SPREAD / float(offset[1] - offset[0])
    return smoothed(votes, gaussian(width, round(4.0 * width)))


def _by_way(votes: Array, row: Facing) -> tuple[Array, Array]:
    """Votes (n, k) of the sides that look back, and of those ahead, 0 where a row lies ahead."""
    n = np.arange(len(votes))
    front = np.where(row.ahead[:, None] >= 0, 0, votes[n, row.side])
    return votes[n, (row.side + 2) % 4], front


def _apart(corners: Array, row: Facing) -> Array:
    """Squared distances (n, n) between squares, in units of ``ALONG`` and ``ACROSS``."""
    across, along = (axis.mean(axis=0) for axis in axes(row))
    middle = corners.mean(axis=1)
    gap = middle[None] - middle[:, None]
    return np.asarray((gap @ along / ALONG) ** 2 + (gap @ across / ACROSS) ** 2)
