"""Rows that overlap a little, read at first as rows of lower, whole squares edge to edge.

Seen at a tilt, a row whose lower part is covered looks like a row of squares that are not quite as
high: the plane that makes them square is stretched by too little. But the row that lies on top is
seen whole, and is higher than the others by what they lack. So where rows lie edge to edge, the
plane is fitted once more with the share that is seen of the others left open.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from catalog.finding.edges import Evidence
from catalog.finding.neighbours import Row, spaces, usual_space, ways
from catalog.finding.plane import Plane, fit_covered, poses_of
from catalog.finding.sides import sizes

Array = NDArray[np.float64]

EDGE_TO_EDGE = (-0.1, 0.03)
"""Median space between rows that may hide an overlap: a gap can't, and if they are known to
overlap by more, their plane is right already."""
HIGHER = 1.012
"""The row on top must seem higher than the others by this at least."""
HIGHEST, LOWEST = 0.955, 0.55
"""Share of a square that may be seen."""
ERROR = 0.015
"""Usual error of a corner here, in sides."""


def edge_to_edge(corners: Array) -> tuple[int, ...]:
    """The sides along which squares (n, 4, 2) seem to lie edge to edge with their neighbours."""
    return tuple(
        side
        for side, row in enumerate(ways(corners))
        if EDGE_TO_EDGE[0] < usual_space(row) < EDGE_TO_EDGE[1]
    )


def together(evidence: Evidence, corners: Array) -> Evidence:
    """Evidence in which sides that face each other across a narrow space look for one edge."""
    votes = evidence.votes.copy()
    count = len(evidence.offset)
    step = evidence.offset[1] - evidence.offset[0]
    for row in ways(corners):
        here = np.flatnonzero(row.ahead >= 0)
        there = row.ahead[here]
        facing = evidence.votes[there, (row.side[there] + 2) % 4][:, ::-1, ::-1]
        shift = np.round(spaces(row) / step).astype(int)
        place = np.arange(count) - shift[:, None]
        value = np.take_along_axis(facing, np.clip(place, 0, count - 1)[:, None], axis=2)
        value = np.where(((place >= 0) & (place < count))[:, None], value, 0)
        votes[here, row.side[here]] = (votes[here, row.side[here]] + value) / 2
    return replace(evidence, votes=votes)


def read_again(
    plane: Plane,
    corners: Array,
    weight: Array,
    shape: tuple[int, ...],
    sides: tuple[int, ...],
    least: float,
) -> tuple[Plane, Array] | None:
    """The plane and the whole squares, if rows cover each other; else None.

    Parameters
    ----------
    plane : Plane
        In which the squares seem whole.
    corners : (n, 4, 2)
        Their corners in it, each side on the line that is seen there.
    weight : (n,)
        How much each counts.
    shape : tuple
        Height and width of the photo, px.
    sides : tuple of int
        The sides along which squares seem to lie edge to edge.
    least : float
        By how much the fit must get better (half the sum of squares over ``ERROR`` squared).
    """
    best: tuple[float, Plane, Array] | None = None
    rows = ways(corners)
    promising = [_promising(row) for row in rows]
    for side, row in enumerate(rows):
        if side not in sides or (not promising[side] and not promising[side - 2]):
            continue
        covered = row.ahead >= 0
        quads = plane.to_photo(row.corners)
        by_corner = np.repeat(weight[:, None], 4, axis=1)
        whole, part = fit_covered(quads, by_corner, shape, ERROR, plane, covered)
        gain = whole.misfit - part.misfit
        if LOWEST < part.share < HIGHEST and gain > (best[0] if best else least):
            again = part.plane.to_plane(quads)
            best = gain, part.plane, _completed(row, again, covered)
    return best[1:] if best else None


def _promising(row: Row) -> bool:
    """Whether rows lie edge to edge and the one on top is higher."""
    covered = row.ahead >= 0
    if covered.all() or not covered.any():
        return False
    height = sizes(row.corners)[1]
    return bool(np.median(height[~covered]) > HIGHER * np.median(height[covered]))


def _completed(row: Row, seen: Array, covered: NDArray[np.bool_]) -> Array:
    """Whole squares on the sides 0 of the covered ones."""
    far = np.where(covered, 0.0, 1.0)
    weight = np.stack([np.ones(len(far)), np.ones(len(far)), far, far], axis=1)
    return poses_of(seen, weight).corners()
