"""Squares that the rows miss: where neighbours agree that one should lie, and the photo agrees.

Two like squares edge to edge show no edge between them, and a print like what it lies on hides in
it. The detector may pass over it, but the rows and columns round it tell its place. It is taken
only if the pixels there look like cloth, or if its sides are seen; where a single neighbour tells
of it, only if both is so.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.finding.layout.lattice import axes_of, common_turn
from catalog.finding.layout.occlusion import clearness
from catalog.finding.shared_plane import Poses

Array = NDArray[np.float64]

MIN_SQUARES = 6
"""Squares that a layout needs before it is trusted to tell of more."""
NEIGHBOUR_DISTANCES = (0.4, 1.8)
"""How far apart the middles of neighbours lie, in sides."""
MAX_AXIS_OFFSET = 0.3
"""How far a neighbour may lie off the axis."""
MIN_DISTANCE = 0.7
"""A place is free where no square's middle lies nearer than this, or than this part of the way from
one square to the next where rows overlap."""
MAX_DISAGREEMENT = 0.25
"""Neighbours agree on a place when what they foretell lies nearer together than this."""
MAX_CLOTH_LIKELIHOOD = -0.35
"""Pixels less like the surface than this are cloth."""
MIN_CLEARNESS = 0.6
"""Sides seen so clearly on average are a square's, if its pixels are not plainly surface."""
MAX_SURFACE_LIKELIHOOD = 0.2
"""See `MIN_CLEARNESS`."""
SURE_OF_CLOTH, SURE_OF_SIDES = 0.75, 0.7
"""Confidence of squares taken for either reason (nearly all are flagged as unsure)."""


@dataclass(frozen=True, eq=False)
class PredictedPositions:
    """Where squares may lie that nobody has seen."""

    corners: Array
    """(n, 4, 2) in the plane."""
    agreed: NDArray[np.bool_]
    """(n,) whether two of the squares or more foretell it."""

    def only(self, keep: NDArray[np.bool_]) -> PredictedPositions:
        """Those that are kept."""
        return PredictedPositions(self.corners[keep], self.agreed[keep])


def predict_positions(poses: Poses) -> PredictedPositions:
    """Free places beside the squares where their rows and columns go on."""
    if len(poses.turn) < MIN_SQUARES:
        return PredictedPositions(np.zeros((0, 4, 2)), np.zeros(0, bool))
    turn = common_turn(poses.turn)
    axes = axes_of(turn)
    middle = poses.middle @ axes.T
    foretold = np.concatenate([_predicted(middle, axis) for axis in (0, 1)])
    gaps = np.linalg.norm(foretold[:, None] - middle[None], axis=2).min(axis=1, initial=np.inf)
    foretold = foretold[gaps > MIN_DISTANCE * min(1.0, _nearest(middle))]
    free, count = _together(foretold)
    n = len(count)
    corners = Poses(free @ axes, np.full(n, turn), np.ones(n), np.zeros(n)).corners()
    return PredictedPositions(corners, count > 1)


def _predicted(middle: Array, axis: int) -> Array:
    """Where each square's neighbours along an axis should lie, by the steps of those near it."""
    gap = middle[None] - middle[:, None]
    ahead, aside = gap[..., axis], np.abs(gap[..., 1 - axis])
    beside = (
        (ahead > NEIGHBOUR_DISTANCES[0])
        & (ahead < NEIGHBOUR_DISTANCES[1])
        & (aside < MAX_AXIS_OFFSET)
    )
    distance = np.where(beside, ahead + 2 * aside, np.inf)
    first = distance.argmin(axis=1)
    linked = np.flatnonzero(np.isfinite(distance.min(axis=1)))
    if len(linked) < 2:
        return np.zeros((0, 2))
    steps = middle[first[linked]] - middle[linked]
    near = np.linalg.norm(middle[:, None] - middle[linked][None], axis=2)
    closest = np.argsort(near, axis=1)[:, :5]
    step = np.median(steps[closest], axis=1)
    return np.concatenate([middle + step, middle - step])


def uncovered(places: Array, known: Poses) -> NDArray[np.bool_]:
    """Which places (n, k, 2) of the plane no known square covers."""
    low, high = places.min(axis=1), places.max(axis=1)
    reach = (known.side * np.sqrt(0.5))[:, None]
    near = (known.middle > low[:, None] - reach) & (known.middle < high[:, None] + reach)
    here, there = np.nonzero(near.all(axis=2))
    gap = places[here] - known.middle[there][:, None]
    cos, sin = np.cos(known.turn[there])[:, None], np.sin(known.turn[there])[:, None]
    across = np.abs(cos * gap[..., 0] + sin * gap[..., 1])
    down = np.abs(cos * gap[..., 1] - sin * gap[..., 0])
    free = np.ones(places.shape[:2], bool)
    covered = np.maximum(across, down) < known.side[there][:, None] / 2
    np.logical_and.at(free, here, ~covered)
    return free


def _nearest(middle: Array) -> float:
    """How far from a square the next one usually lies."""
    gaps = np.linalg.norm(middle[:, None] - middle[None], axis=2)
    np.fill_diagonal(gaps, np.inf)
    return float(np.median(gaps.min(axis=1)))


def _together(points: Array) -> tuple[Array, NDArray[np.int64]]:
    """Means of the groups of points that lie near each other, and how many are in each."""
    means, counts, free = [], [], np.ones(len(points), bool)
    for i in range(len(points)):
        if free[i]:
            group = free & (np.linalg.norm(points - points[i], axis=1) < MAX_DISAGREEMENT)
            means.append(points[group].mean(axis=0))
            counts.append(int(group.sum()))
            free &= ~group
    return np.array(means).reshape(-1, 2), np.array(counts, np.int64)


def promising(likeness: Array, free: PredictedPositions) -> NDArray[np.bool_]:
    """Places (n,) whose pixels, by how like the surface they are, don't rule a square out."""
    return likeness < np.where(free.agreed, MAX_SURFACE_LIKELIHOOD, MAX_CLOTH_LIKELIHOOD)


def accepted(likeness: Array, seen: Array, shown: Array, agreed: NDArray[np.bool_]) -> Array:
    """Confidence of proposed squares, 0 for those that the photo doesn't bear out.

    Parameters
    ----------
    likeness : (n,)
        How like the surface the pixels inside are, -1 to 1.
    seen : (n, 4)
        How clearly each side is seen, 0 to 1.
    shown : (n, 4)
        How much of each side no other square covers; the others say nothing.
    agreed : (n,)
        Whether two squares or more foretell it.
    """
    cloth = likeness < MAX_CLOTH_LIKELIHOOD
    sides = (clearness(seen, shown) > MIN_CLEARNESS) & (likeness < MAX_SURFACE_LIKELIHOOD)
    either = np.where(cloth, SURE_OF_CLOTH, np.where(sides, SURE_OF_SIDES, 0.0))
    return np.where(agreed, either, np.where(cloth & sides, SURE_OF_SIDES, 0.0))
