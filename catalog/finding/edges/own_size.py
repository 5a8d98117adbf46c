"""What each square measures by its own sides, whatever the bundle's squares measure.

Squares are held near one size, since a line of a print passes for a side more often than a square
is cut to another size. So two hypotheses are compared for each square, the usual size and the one
that the boundary network's likelihoods tell best, which is right to a hundredth of a side: a
misread side spoils the likelihood of the usual size less than a wrong size does, which spoils all
four. What the fit of the plane leaves is smooth over the photo, and taken off first.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.finding.edges.edge_profile import EdgeProfiles
from catalog.finding.edges.offset_consensus import AXES
from catalog.finding.edges.side_lines import line_scores, sizes

Array = NDArray[np.float64]

SIZE_STEP = 0.00175
"""Sizes are compared in steps of half the boundary network's, in sides."""
MAX_DEVIATION = 0.07
"""And so far to each side of the usual one."""
USUAL_WITHIN = 0.006
"""Sizes of usual squares leave the usual one by as much (95 of 100 on drawn layouts)."""
MAX_OBLONG_STEPS = 1
"""Steps by which the width of a square may leave its height."""
MIN_SHOWN = 0.5
"""Part of a side that no other square covers, from which it is measured."""
SHIFT_COST, SHIFT_SPREAD = 0.02, 0.02
"""Votes that a shift of so many sides costs."""
TREND_SPREAD = 0.006
"""Sizes further from the smooth trend than this, in sides, count less and less for it."""
MIN_TREND_SQUARES = 9
"""Squares from which a trend is told; of fewer it is their median."""
TREND_COST = 2.0
"""Squares that a trend must convince."""
MAX_TREND = 0.012
"""What the plane leaves of the size from the middle of the squares to their margin, at most: 0.009
on the dev photos. More is told as two sizes, not as a trend."""
MIN_LEAD = 0.4
"""Votes by which another size must be likelier than the usual one. On drawn layouts 3000 to 3119
34 of 35 squares an eighth of an inch off 5 in are told with it, 22 of 3,258 usual ones, and on 2000
to 2059 2 of 1,613 of these; with 0.3, which tells no more of the former, 26 and 8."""
MIN_LONE_LEAD = 0.6
"""The same where only one of width and height is seen."""
MIN_DEVIATION_IN = 0.08
"""Inches by which it must leave it: what is off by an eighth of an inch, less the error."""
MIN_DEVIATION = 0.0125
"""And in sides, of large squares, since errors are in sides."""
MIN_SPREADS = 2.0
"""And usual deviations of the photo's squares."""


@dataclass(frozen=True, eq=False)
class OwnSizes:
    """What squares measure by their own sides."""

    size: Array
    """(n,) in sides of the plane."""
    usual: Array
    """(n,) what usual squares measure where each lies, in sides of the plane."""
    lead: Array
    """(n,) by how many votes the size is likelier than the usual one; without end where that lies
    beyond what was looked at, as a size that is plainly another was borne out before
    (`trial_size`)."""
    ways: NDArray[np.int64]
    """(n,) how many of width and height are seen."""

    def of_classes(self, scale: Array) -> Array:
        """The sizes (n,) of squares of two sizes, that of the usual ones 1, made exact."""
        exact = scale.copy()
        for size in set(scale[scale != 1].tolist()):
            here = scale == size
            exact[here] = size * np.median(self.size[here] / self.usual[here])
        return exact

    def odd(self, side_in: float, tried: Array | float = 1.0) -> NDArray[np.bool_]:
        """Which are of another size than the usual one, where that is so many inches.

        ``tried`` (n,) are the sizes that they were looked at with, where the usual one is 1.
        """
        off = np.abs(self.size / self.usual * tried - 1)
        spread = 1.4826 * float(np.median(off))
        least = max(MIN_DEVIATION, MIN_DEVIATION_IN / side_in, MIN_SPREADS * spread)
        surely = self.lead > np.where(self.ways == 2, MIN_LEAD, MIN_LONE_LEAD)
        return np.asarray((off > least) & surely)


def own_sizes(evidence: EdgeProfiles, corners: Array, tried: Array | float = 1.0) -> OwnSizes:
    """What squares measure by the boundary network's likelihoods.

    Parameters
    ----------
    evidence : EdgeProfiles
        Of `boundary_network.boundary_profiles`.
    corners : (n, 4, 2)
        The squares that it was gathered for, in the plane, scaled to side 1.
    tried : (n,) or float
        The sizes that they were looked at with, where the usual one is 1.
    """
    both = _both_ways(evidence, corners)
    best = np.concatenate([one.best() for one in both])
    middle = float(np.median(best)) if len(best) else 1.0
    off = np.arange(-MAX_DEVIATION, MAX_DEVIATION + SIZE_STEP / 2, SIZE_STEP)
    votes = np.sum([one.at(middle * (1 + off)) for one in both], axis=0)
    own = np.where(votes.any(axis=1), off[votes.argmax(axis=1)], 0.0)
    usual = _trend(corners.mean(axis=1), own)
    near = np.abs((1 + off) * np.reshape(tried, (-1, 1)) - 1 - usual[:, None]) < USUAL_WITHIN
    lead = votes.max(axis=1) - np.where(near, votes, -np.inf).max(axis=1)
    ways = np.sum([one.known for one in both], axis=0)
    return OwnSizes(middle * (1 + own), middle * (1 + usual), lead, ways)


@dataclass(frozen=True, eq=False)
class _OneWay:
    """Votes for widths, or for heights."""

    length: Array
    """(n,) as supposed, in sides."""
    growth: Array
    """(k,) by which they may be wrong."""
    votes: Array
    """(n, k)"""
    known: NDArray[np.bool_]
    """(n,) whether both sides are shown."""

    def best(self) -> Array:
        """The likeliest of those that are known."""
        best = self.length + self.growth[self.votes.argmax(axis=1)]
        return np.asarray(best[self.known], np.float64)

    def at(self, size: Array) -> Array:
        """Votes (n, m) for sizes (m,) or nearly so; none where it isn't known."""
        import cv2

        votes = np.zeros((len(self.length), len(size)))
        for i in np.flatnonzero(self.known):
            votes[i] = np.interp(size - self.length[i], self.growth, self.votes[i])
        near = np.ones((1, 2 * MAX_OBLONG_STEPS + 1), np.uint8)
        return np.asarray(cv2.dilate(votes, near), np.float64)


def _both_ways(evidence: EdgeProfiles, corners: Array) -> list[_OneWay]:
    """What the sides (n, 4, stretches, k) say of widths and of heights."""
    shown = evidence.shown.mean(axis=2) > MIN_SHOWN
    scores, count = line_scores(evidence), len(evidence.offset)
    step = float(evidence.offset[1] - evidence.offset[0])
    growth = step * (np.arange(2 * count - 1) - (count - 1))
    found = []
    for (first, second), length in zip(AXES, sizes(corners), strict=True):
        known = shown[:, first] & shown[:, second]
        votes = _by_growth(scores[:, first], scores[:, second], evidence.offset)
        found.append(_OneWay(length, np.asarray(growth, np.float64), votes, known))
    return found


def _by_growth(one: Array, two: Array, offset: Array) -> Array:
    """Best votes (n, 2k - 1) of two opposite sides (n, k) for each sum of their offsets."""
    score = one[:, :, None] + two[:, None, :]
    shift = (offset[None, :] - offset[:, None]) / 2
    score = score - SHIFT_COST * (shift / SHIFT_SPREAD) ** 2
    total = np.add.outer(np.arange(len(offset)), np.arange(len(offset)))
    return np.stack([score[:, total == s].max(axis=1) for s in range(2 * len(offset) - 1)], axis=1)


def _trend(middle: Array, off: Array) -> Array:
    """The smooth part (n,) of deviations (n,) of squares whose middles lie at (n, 2)."""
    n = len(off)
    level = float(np.median(off))
    if n < MIN_TREND_SQUARES:
        return np.full(n, level)
    place = middle - middle.mean(axis=0)
    known = np.column_stack([np.ones(n), place / max(float(np.abs(place).max()), 1e-9)])
    told = np.array([level, 0.0, 0.0])
    for _ in range(10):
        weight = 1 / (1 + ((off - known @ told) / TREND_SPREAD) ** 2)
        matrix = known.T @ (weight[:, None] * known) + np.diag([1e-6, TREND_COST, TREND_COST])
        told = np.linalg.solve(matrix, known.T @ (weight * off))
        told[1:] = np.clip(told[1:], -MAX_TREND, MAX_TREND)
    return np.asarray(known @ told, np.float64)
