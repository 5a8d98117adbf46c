"""Which squares lie beside each other, side to side."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.finding.lattice import common_turn
from catalog.finding.plane import poses_of

Array = NDArray[np.float64]

AHEAD, ASIDE = (0.6, 1.4), 0.4
"""Where the middle of a neighbour lies, in sides."""


@dataclass(frozen=True, eq=False)
class Row:
    """Squares (n, 4, 2) ordered so that side 2 looks towards the rows that lie on top."""

    corners: Array
    side: NDArray[np.int64]
    """(n,) which side of each square that is in the order told."""
    ahead: NDArray[np.int64]
    """(n,) index of the neighbour that side 2 looks at; -1 where there is none."""


def ways(corners: Array) -> list[Row]:
    """The squares in order of their sides, for each of the four directions."""
    poses = poses_of(corners)
    turn = common_turn(poses.turn)
    quarter = np.round((poses.turn - turn) / (np.pi / 2)).astype(int)
    axes = np.exp(-1j * turn)
    middle = (poses.middle @ np.array([1, 1j])) * axes
    gap = middle[None] - middle[:, None]
    found = []
    for side in range(4):
        towards = gap * 1j ** (2 - side)  # the direction of this side is turned to +y
        ahead, aside = towards.imag, np.abs(towards.real)
        beside = (ahead > AHEAD[0]) & (ahead < AHEAD[1]) & (aside < ASIDE)
        nearest = np.where(beside, ahead + aside, np.inf)
        index = np.where(beside.any(axis=1), nearest.argmin(axis=1), -1)
        order = (np.arange(4) + side - 2 - quarter[:, None]) % 4
        found.append(Row(np.take_along_axis(corners, order[..., None], axis=1), order[:, 2], index))
    return found


def spaces(row: Row) -> Array:
    """Ways from the side ahead of each covered square to the square ahead, in sides."""
    here = np.flatnonzero(row.ahead >= 0)
    there = row.corners[row.ahead[here]]
    side = row.corners[here][:, 2] - row.corners[here][:, 3]  # along the row, to the right
    across = np.stack([-side[:, 1], side[:, 0]], axis=-1) / np.linalg.norm(side, axis=1)[:, None]
    gap = there[:, :2].mean(axis=1) - row.corners[here][:, 2:].mean(axis=1)
    return np.asarray((gap * across).sum(axis=1))
