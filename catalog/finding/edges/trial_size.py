"""Squares far from the bundle's size, looked for at their own.

A square of 4 1/2 in among others of 5 in that lies in a corner of its place has two of its sides
beyond every look at a square of the usual size, which then settles on its neighbours' sides. The
detector's outline is right to 2 or 3 hundredths of a side. Where it tells another size, both are
looked at, and steps of colour towards the surface tell which of the two it is: where the cloth is
missing, the side of the usual size lies on a neighbour or on nothing, with surface inside of it.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog.finding.edges.edge_profile import EdgeProfiles, edge_profiles
from catalog.finding.shared_plane import Plane, poses_of

Array = NDArray[np.float64]

MIN_TOLD_DEVIATION = 0.03
"""The detector's outlines of usual squares stray from their size by as much (logarithm)."""
TRIAL_REACH_STEP = (0.03, 0.002)
"""Reach and step of the look at both hypotheses, in sides."""
MIN_TRIAL_GAIN = 0.25
"""Votes of four sides that speak for the outline's size. On drawn layouts 5000 to 5035 and on the
dev and harder photos usual squares gained 0.18 at most, those 0.1 sides off 0.5 and more."""


def trial_sizes(
    levels: list[NDArray[np.uint8]],
    plane: Plane,
    quads: Array,
    corners: Array,
    surface: NDArray[np.float32],
    scale: Array,
) -> tuple[Array, Array]:
    """Squares (n, 4, 2) of the size that the photo bears out, usual or the outline's, and it (n,).

    Parameters
    ----------
    levels, plane, surface
        See `edge_profile.edge_profiles`.
    quads : (n, 4, 2)
        The detector's outlines, px.
    corners : (n, 4, 2)
        Squares of the usual size in the plane.
    scale : (n,)
        That size, 1 but where squares are of two sizes.
    """
    told = poses_of(plane.to_plane(quads))
    side = told.side / scale
    side = side / np.median(side)
    tried = np.flatnonzero(np.abs(np.log(np.maximum(side, 1e-6))) > MIN_TOLD_DEVIATION)
    size, moved = scale.copy(), corners.copy()
    if not len(tried):
        return moved, size
    own = told.corners(side * scale)
    usual, other = (
        _best_votes(edge_profiles(levels, plane, both[tried], surface, *TRIAL_REACH_STEP))
        for both in (corners, own)
    )
    better = tried[other > usual + MIN_TRIAL_GAIN]
    moved[better], size[better] = own[better], (side * scale)[better]
    return moved, size


def _best_votes(evidence: EdgeProfiles) -> Array:
    """Votes (n,) for the best lines of the four sides."""
    return np.asarray(evidence.votes.mean(axis=2).max(axis=2).sum(axis=1), np.float64)
