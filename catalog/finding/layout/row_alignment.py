"""Squares that leave the line of their row or column, brought back into it.

Where a line of a print, or the edge of what covers a square, passes for one of its sides, the
square is shifted, and the print may show it a line for each of its sides there. Rows and columns
tell where it belongs: its neighbours lie on a line, and how well all of the bundle's squares keep
to theirs tells how far one may honestly stray.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog.finding.layout.lattice import axes_of, common_turn, level_rows
from catalog.finding.shared_plane import poses_of

Array = NDArray[np.float64]

MIN_ROW_SQUARES = 3
"""Squares that make a row's line."""
MIN_STRAY_SPREADS, MIN_STRAY = 4.0, 0.045
"""A square further off than so many usual distances, and than this in sides, strays."""
USUAL, NEAT = 0.01, 0.02
"""The usual distance from the line is taken to be at least this, in sides; where the median is more
than the second, the squares lie in no lines."""
MAX_STRAY_SHARE = 0.15
"""Nor do they where more than this part of them strays (and more than one)."""


def in_rows(corners: Array, up: Array) -> Array:
    """Squares (n, 4, 2) in the plane, each on its row's line, where rows lie over one another.

    Parameters
    ----------
    corners : (n, 4, 2)
        Corners in the plane.
    up : (2,)
        The direction in which rows lie on top.
    """
    poses = poses_of(corners)
    axes = axes_of(common_turn(poses.turn))
    if abs(axes[0] @ up) > abs(axes[1] @ up):
        axes = axes[::-1]
    off = np.nan_to_num(_off_line(poses.middle @ axes.T))
    return np.asarray(corners - off[:, None, None] * axes[1])


def back_in_line(corners: Array) -> tuple[Array, NDArray[np.bool_]]:
    """Squares (n, 4, 2) on the lines of their rows and columns if they stray, and which do."""
    poses = poses_of(corners)
    axes = axes_of(common_turn(poses.turn))
    moved, strays = corners, np.zeros(len(corners), bool)
    for pair in (axes, axes[::-1]):
        off = _off_line(poses.middle @ pair.T)
        far = _far(off)
        moved = moved - np.where(far, off, 0.0)[:, None, None] * pair[1]
        strays |= far
    return moved, strays


def _far(off: Array) -> NDArray[np.bool_]:
    """Which squares, (n,), stray of those so far off their lines; nan where there is none."""
    told = np.abs(off[np.isfinite(off)])
    usual = float(np.median(told)) if len(told) else np.inf
    far = np.abs(off) > max(MIN_STRAY_SPREADS * max(USUAL, 1.4826 * usual), MIN_STRAY)
    in_lines = usual <= NEAT and far.sum() <= max(1, MAX_STRAY_SHARE * len(told))
    return np.asarray(far & in_lines)


def _off_line(place: Array) -> Array:
    """How far squares whose middles lie at (n, 2) are off their row's line; nan where none is."""
    off = np.full(len(place), np.nan)
    for here in level_rows(*place.T):
        if len(here) >= MIN_ROW_SQUARES:
            slope, level = theil_sen(place[here, 0], place[here, 1])
            off[here] = place[here, 1] - slope * place[here, 0] - level
    return off


def theil_sen(x: Array, y: Array) -> tuple[float, float]:
    """Return slope and level of the line through points whose strays don't bend it.

    The median of the slopes between any two points (Sen, J. Am. Stat. Assoc. 63, 1968, 1379-1389),
    level by the medians of both. Here and not from scipy, whose statistics take half a second to
    import; `tests/test_row_alignment.py` holds it to theirs.

    Parameters
    ----------
    x, y : (n,) array
        Two or more points, not all at one x.
    """
    across = x[:, None] - x
    forward = across > 0
    slope = float(np.median((y[:, None] - y)[forward] / across[forward]))
    return slope, float(np.median(y) - slope * np.median(x))
