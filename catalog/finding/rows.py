"""Covered squares that leave their row, brought back into it.

Of a square that lies partly under the next row only three sides are seen, and where those are faint
a line of a print, or the edge of what covers it, passes for one of them: the square is then shifted
across its row. Rows tell where it belongs: its neighbours lie on a line, and how well all of the
bundle's squares keep to theirs tells how far one may honestly stray.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.stats import theilslopes

from catalog.finding.lattice import axes_of, common_turn, read_rows
from catalog.finding.plane import Poses, poses_of

Array = NDArray[np.float64]

FEWEST = 3
"""Squares that make a row's line."""
STRAY, LEAST = 4.0, 0.05
"""A square further off than so many usual distances, and than this in sides, is out of its row."""
USUAL = 0.01
"""The usual distance from the line is taken to be this at least, in sides."""


def realigned(corners: Array, up: Array, every: bool) -> Array:
    """Squares (n, 4, 2) in the plane; those out of their row are back on its line.

    Parameters
    ----------
    corners : (n, 4, 2)
        Squares of rows that lie over one another.
    up : (2,)
        The direction in which rows lie on top.
    every : bool
        Whether all squares go onto their row's line, not only those far off it.
    """
    poses = poses_of(corners)
    axes = axes_of(common_turn(poses.turn))
    if abs(axes[0] @ up) > abs(axes[1] @ up):
        axes = axes[::-1]
    off = _off_line(poses.middle @ axes.T)
    told = np.abs(off[np.isfinite(off)])
    if not len(told):
        return corners
    far = max(STRAY * max(USUAL, 1.4826 * float(np.median(told))), LEAST)
    shift = np.where(np.abs(off) > (0 if every else far), off, 0.0)
    return np.asarray(corners - shift[:, None, None] * axes[1])


def _off_line(place: Array) -> Array:
    """How far squares whose middles lie at (n, 2) are off their row's line; nan where none is."""
    n = len(place)
    rows = read_rows(Poses(place, np.zeros(n), np.ones(n), np.zeros(n))).row
    off = np.full(n, np.nan)
    for number in range(1, int(rows.max(initial=0)) + 1):
        here = np.flatnonzero(rows == number)
        if len(here) >= FEWEST:
            slope, level, *_ = theilslopes(place[here, 1], place[here, 0])
            off[here] = place[here, 1] - slope * place[here, 0] - level
    return off
