"""Covered squares that leave their row, brought back into it.

Of a square that lies partly under the next row only three sides are seen, and where those are faint
a line of a print, or the edge of what covers it, passes for one of them: the square is then shifted
across its row. Rows tell where it belongs: its neighbours lie on a line, and how well all of the
bundle's squares keep to theirs tells how far one may honestly stray.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog.finding.lattice import common_turn, read_rows
from catalog.finding.neighbours import spaces, ways
from catalog.finding.plane import poses_of

Array = NDArray[np.float64]

OVERLAP = 0.03
"""Rows that reach so far into each other, in the median, cover each other, in sides."""
FEWEST = 3
"""Squares that make a row's line."""
STRAY, LEAST = 4.0, 0.05
"""A square further off than so many usual distances, and than this in sides, is out of its row."""
USUAL = 0.01
"""The usual distance from the line is taken to be this at least, in sides."""


def realigned(corners: Array) -> Array:
    """Squares (n, 4, 2) in the plane; those out of a row that covers others are back in it."""
    along = _covered_axis(corners)
    if along is None:
        return corners
    poses = poses_of(corners)
    turn = common_turn(poses.turn)
    axes = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    place = poses.middle @ axes.T
    if along == 0:
        place = place[:, ::-1]
    off = _off_line(place)
    usual = max(USUAL, 1.4826 * float(np.median(np.abs(off[np.isfinite(off)])))) if np.isfinite(
        off
    ).any() else USUAL
    out = np.isfinite(off) & (np.abs(off) > max(STRAY * usual, LEAST))
    shift = np.where(out, off, 0.0)
    return corners - shift[:, None, None] * axes[1 if along else 0]


def _covered_axis(corners: Array) -> int | None:
    """The axis across which rows cover each other: 0 sideways, 1 up and down, else None."""
    for side, row in enumerate(ways(corners)):
        if (row.ahead >= 0).sum() >= FEWEST and np.median(spaces(row)) < -OVERLAP:
            return side % 2 ^ 1
    return None


def _off_line(place: Array) -> Array:
    """How far each square (n, 2) lies off its row's line; nan where there is no line."""
    from catalog.finding.plane import Poses

    n = len(place)
    rows = read_rows(Poses(place, np.zeros(n), np.ones(n), np.zeros(n))).row
    off = np.full(n, np.nan)
    for number in range(1, int(rows.max(initial=0)) + 1):
        here = np.flatnonzero(rows == number)
        if len(here) < FEWEST:
            continue
        x, y = place[here].T
        one, two = np.triu_indices(len(here), 1)
        slope = np.median((y[two] - y[one]) / np.where(x[two] == x[one], 1.0, x[two] - x[one]))
        left = y - slope * x
        off[here] = left - np.median(left)
    return off
