"""Rows and columns, as a person reads them.

Squares are chained to their neighbours to the right, chains become rows, and columns are counted
along each row. Nothing is assumed of equal gaps, so ragged, staggered, overlapping and incomplete
rows read as they lie. Squares that lie in no rows are left without.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from catalog.finding.shared_plane import Poses

Array = NDArray[np.float64]

NEIGHBOUR_DISTANCES = (0.45, 1.8)
"""A right-hand neighbour's middle lies this far to the right, in sides."""
MAX_LEVEL_OFFSET = 0.35
"""And no further up or down than this."""
MAX_ROW_STEP = 0.3
"""Chains whose levels differ by less than this and don't overlap are one row with a gap."""
MAX_MEAN_TURN = np.radians(12)
"""Squares turned more than this from each other on average are a heap, not rows."""
MIN_ROW_GAP = 0.15
"""A row's line lies further below the one above, in sides."""
MIN_STAGGER = 0.25
"""Rows shifted against each other by more than this part of a column are staggered."""


@dataclass(frozen=True, eq=False)
class Lattice:
    """Where each square stands."""

    row: NDArray[np.int64]
    """(n,) from 1; 0 for all where the squares lie in no rows."""
    col: NDArray[np.int64]
    """(n,) from 1; 0 for all where the squares lie in no rows."""
    order: NDArray[np.int64]
    """(n,) indices in reading order."""


def common_turn(turn: Array) -> float:
    """The turn that most squares share, radians within an eighth of a turn; quarters are alike."""
    return float(np.angle(np.exp(4j * turn).sum()) / 4)


def axes_of(turn: float) -> Array:
    """Directions to the right and down, the rows of (2, 2), in a layout turned so."""
    cos, sin = np.cos(turn), np.sin(turn)
    return np.array([[cos, sin], [-sin, cos]])


def read_rows(poses: Poses) -> Lattice:
    """Tell rows and columns of squares in the plane."""
    n = len(poses.turn)
    turn = common_turn(poses.turn)
    x, y = (poses.middle @ axes_of(turn).T).T
    stray = np.abs(np.angle(np.exp(4j * (poses.turn - turn))) / 4)
    rows = [] if n == 0 or np.mean(stray) > MAX_MEAN_TURN else level_rows(x, y)
    if not rows:
        return Lattice(np.zeros(n, int), np.zeros(n, int), _reading_order(x, y))
    row, col = np.zeros(n, int), np.zeros(n, int)
    for number, members in enumerate(rows, 1):
        row[members] = number
    _count_columns(rows, x, y, col)
    return Lattice(row, col, np.lexsort((col, row)))


def level_rows(x: Array, y: Array) -> list[NDArray[np.int64]]:
    """Members of each row of squares whose middles lie at x, y (n,) each; none if they lie in none.

    Members stand from the left, rows from the top.
    """
    rows = _rows(x, y)
    return rows if _orderly(rows, x, y) else []


def read_rows_of_sizes(poses: Poses, scale: Array) -> Lattice:
    """Tell rows and columns where squares may be of two sizes, (n,).

    Those that lie in rows together are read together; else the rows of the usual size come first.
    """
    together = read_rows(poses)
    if together.row.any() or (scale == 1).all():
        return together
    n, last, order = len(scale), 0, []
    row, col = np.zeros(n, int), np.zeros(n, int)
    for size in sorted(set(scale.tolist()), key=lambda size: size != 1):
        here = np.flatnonzero(scale == size)
        own = Poses(
            poses.middle[here] / size, poses.turn[here], poses.side[here] / size, poses.misfit[here]
        )
        told = read_rows(own)
        if not told.row.any():
            return together
        row[here], col[here] = told.row + last, told.col
        last = int(row.max())
        order.append(here[told.order])
    return Lattice(row, col, np.concatenate(order))


def _reading_order(x: Array, y: Array) -> NDArray[np.int64]:
    """Down in bands of half a side, each from the left."""
    band = np.floor((y - y.min(initial=0)) / 0.75).astype(int)
    return np.lexsort((y, x, band))


def _rows(x: Array, y: Array) -> list[NDArray[np.int64]]:
    """Members of each row from the left, rows from the top."""
    chains = [np.array(chain) for chain in _chains(x, y)]
    chains.sort(key=lambda c: (y[c].mean(), x[c].mean()))
    rows: list[NDArray[np.int64]] = []
    for chain in chains:
        for k, row in enumerate(rows):
            if _continues(row, chain, x, y):
                rows[k] = np.concatenate([row, chain])
                break
        else:
            rows.append(chain)
    rows = [row[np.argsort(x[row], kind="stable")] for row in rows]
    return sorted(rows, key=lambda row: float(y[row].mean()))


def _chains(x: Array, y: Array) -> list[list[int]]:
    """Squares joined to the neighbour that is each other's nearest to the right and left."""
    right, down = x[None] - x[:, None], np.abs(y[None] - y[:, None])
    cost = np.abs(right - 1) + 3 * down
    cost[
        (right < NEIGHBOUR_DISTANCES[0])
        | (right > NEIGHBOUR_DISTANCES[1])
        | (down > MAX_LEVEL_OFFSET)
    ] = np.inf
    each, best = np.arange(len(x)), cost.argmin(axis=1)
    mutual = np.isfinite(cost[each, best]) & (cost.argmin(axis=0)[best] == each)
    after = dict(zip(each[mutual].tolist(), best[mutual].tolist(), strict=True))
    chains = []
    for start in sorted(set(range(len(x))) - set(after.values())):
        chain = [start]
        while chain[-1] in after:
            chain.append(after[chain[-1]])
        chains.append(chain)
    return chains


def _continues(row: NDArray[np.int64], chain: NDArray[np.int64], x: Array, y: Array) -> bool:
    """Whether a chain lies beside the row at its level."""
    apart = np.abs(x[row][:, None] - x[chain][None])
    if apart.min() < 0.6:
        return False
    near = np.unravel_index(np.argmin(apart), apart.shape)
    slope = _line(row, x, y)[0]
    level = y[row[near[0]]] + slope * (x[chain[near[1]]] - x[row[near[0]]])
    return bool(abs(level - y[chain[near[1]]]) < MAX_ROW_STEP)


def _orderly(rows: list[NDArray[np.int64]], x: Array, y: Array) -> bool:
    """Whether the rows are rows: level within themselves and apart from each other."""
    if len(x) < 2:
        return len(x) == 1
    if len(rows) > 2 and np.mean([len(row) == 1 for row in rows]) > 0.5:
        return all(len(row) == 1 for row in rows) and float(np.ptp(x)) < 0.5
    lines = [_line(row, x, y) for row in rows]
    return all(_below(upper, lower) > MIN_ROW_GAP for upper, lower in pairwise(lines))


def _line(row: NDArray[np.int64], x: Array, y: Array) -> tuple[float, float, float]:
    """Slope of the line of least squares through a row, and its middle; level through few."""
    across, down = x[row], y[row]
    middle, level = float(across.mean()), float(down.mean())
    arm = across - middle
    slope = float(arm @ (down - level)) / float(arm @ arm) if len(row) > 2 else 0.0
    return slope, middle, level


def _below(upper: tuple[float, float, float], lower: tuple[float, float, float]) -> float:
    """How far a row's line lies below another's half-way between their middles."""
    at = (upper[1] + lower[1]) / 2
    one, two = (level + slope * (at - middle) for slope, middle, level in (upper, lower))
    return two - one


def _count_columns(
    rows: list[NDArray[np.int64]], x: Array, y: Array, col: NDArray[np.int64]
) -> None:
    """Number the columns of every row, in place."""
    steps = np.concatenate([np.diff(x[row]) for row in rows])
    pitch = (
        float(np.median(steps[steps < NEIGHBOUR_DISTANCES[1]]))
        if (steps < NEIGHBOUR_DISTANCES[1]).any()
        else 1.0
    )
    within = [np.concatenate([[0], np.cumsum(_whole(np.diff(x[row]) / pitch))]) for row in rows]
    starts, shifts = [0.0], []
    for k in range(1, len(rows)):
        shift = _shift(x[rows[k - 1]], within[k - 1], x[rows[k]], within[k]) / pitch
        shifts.append(shift)
        starts.append(starts[-1] + round(shift))
    staggered = (
        np.mean([abs(s - round(s)) > MIN_STAGGER for s in shifts]) > 0.4 if shifts else False
    )
    low = min(starts)
    for start, row, count in zip(starts, rows, within, strict=True):
        first = 0 if staggered else int(start - low)
        col[row] = first + count + 1


def _whole(steps: Array) -> NDArray[np.int64]:
    return np.maximum(1, np.round(steps)).astype(int)


def _shift(
    x_above: Array, count_above: NDArray[np.int64], x: Array, count: NDArray[np.int64]
) -> float:
    """How far a row's first column lies to the right of the first column of the row above."""
    gap = np.abs(x_above[:, None] - x[None])
    near = gap.min(axis=0) <= max(0.6, float(gap.min()) + 1e-9)
    above = gap.argmin(axis=0)
    pitch = float(np.median(np.diff(x) / np.maximum(1, np.diff(count)))) if len(x) > 1 else 1.0
    first = x - count * pitch
    first_above = x_above[above] - count_above[above] * pitch
    return float(np.median((first - first_above)[near]))
