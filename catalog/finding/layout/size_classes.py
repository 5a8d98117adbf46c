"""Squares of two sizes in one photo, such as 5 in and 2 1/2 in.

The plane is fitted to congruent squares, and bends to make squares of two sizes one. So the photo
is read both ways: as squares of one size, and as squares whose shape alone tells of the plane,
which then part into two sizes or don't. The better reading is the one in which the outlines are
squares of the sizes told; one size is believed unless two are plainly better.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog.finding.plane_fitting import fit_plane
from catalog.finding.shared_plane import Plane, poses_of

Array = NDArray[np.float64]

MIN_SCORE = 0.4
"""Candidates below this say nothing of how many sizes there are."""
MIN_RATIO = 0.14
"""Sizes nearer than this (logarithm) are told square by square (`edges.trial_size`)."""
MIN_OF_SIZE = 2
"""Squares that make a size."""
MAX_SPREAD = 0.25
"""Part of the way from one size to the other by which squares may usually leave theirs."""
MISFIT_SCALE = 0.03
"""Misfits of outlines beyond this part of a side count less and less."""
MIN_GAIN = 0.3
"""Part of the misfit that two sizes must take away."""


def size_classes(
    plane: Plane, quads: Array, scores: Array, shape: tuple[int, ...]
) -> tuple[Plane, Array]:
    """The plane, and the size (n,) of the class that each square belongs to: 1, or another's.

    Parameters
    ----------
    plane : Plane
        Fitted to the quadrilaterals as if they were of one size.
    quads : (n, 4, 2)
        The detector's outlines, px.
    scores : (n,)
        What the detector says, 0 to 1.
    shape : tuple
        Height and width of the photo, px.
    """
    one = np.ones(len(quads))
    weight = np.repeat(scores[:, None] ** 3, 4, axis=1)
    free = fit_plane(quads, weight, shape, start=plane, side=None)
    side = _parted(poses_of(free.to_plane(quads)).side, scores)
    if side is None:
        return plane, one
    two = fit_plane(quads, weight, shape, start=free, side=side)
    side = _parted(poses_of(two.to_plane(quads)).side, scores)
    if side is None:
        return plane, one
    two = fit_plane(quads, weight, shape, start=two, side=side)
    best = (1 - MIN_GAIN) * _misfit(plane, quads, scores, one)
    return (two, side) if _misfit(two, quads, scores, side) < best else (plane, one)


def _parted(size: Array, scores: Array) -> Array | None:
    """Which of two sizes each square (n,) is of, the commoner 1; None if they are of one."""
    known = np.log(np.maximum(size[scores > MIN_SCORE], 1e-6))
    if len(known) < 2 * MIN_OF_SIZE:
        return None
    order = np.sort(known)
    cuts = np.arange(MIN_OF_SIZE, len(order) - MIN_OF_SIZE + 1)
    within = _spread_below(order)[cuts] + _spread_below(-order[::-1])[len(order) - cuts]
    k = int(cuts[int(np.argmin(within))])
    small, large = float(np.median(order[:k])), float(np.median(order[k:]))
    spread = float(within.min()) / len(order)
    if large - small < MIN_RATIO or spread > MAX_SPREAD * (large - small):
        return None
    usual, other = (small, large) if 2 * k > len(order) else (large, small)
    told = np.log(np.maximum(size, 1e-6))
    is_other = np.abs(told - other) < np.abs(told - usual)
    return np.where(is_other, np.exp(other - usual), 1.0)


def _spread_below(order: Array) -> Array:
    """How far in all the first k of ascending numbers lie from their median, k from 0 to all."""
    total = np.concatenate([[0.0], np.cumsum(order)])
    k = np.arange(len(total))
    return np.asarray(total - total[(k + 1) // 2] - total[k // 2], np.float64)


def _misfit(plane: Plane, quads: Array, scores: Array, side: Array) -> float:
    """How badly outlines are squares of these sizes (n,)."""
    told = poses_of(plane.to_plane(quads) / side[:, None, None])
    return float((scores**3 * np.log1p((told.misfit / MISFIT_SCALE) ** 2)).sum())
