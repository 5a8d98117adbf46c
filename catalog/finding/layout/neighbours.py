"""Which squares lie beside each other, side to side."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.finding.layout.lattice import common_turn
from catalog.finding.shared_plane import poses_of

Array = NDArray[np.float64]

AHEAD, ASIDE = (0.4, 1.4), 0.4
"""Where the middle of a neighbour lies, in sides: rows may half cover each other."""
MIN_NEIGHBOURS = 3
"""Neighbours in one direction from which a usual space is told."""


@dataclass(frozen=True, eq=False)
class Facing:
    """Squares (n, 4, 2) ordered so that side 2 looks towards the rows that lie on top."""

    corners: Array
    side: NDArray[np.int64]
    """(n,) which side of each square that is in the order told."""
    ahead: NDArray[np.int64]
    """(n,) index of the neighbour that side 2 looks at; -1 where there is none."""


def ways(corners: Array, scale: Array | float = 1.0) -> list[Facing]:
    """The squares in order of their sides, for each of the four directions.

    ``scale`` (n,) is what each measures where squares are of two sizes.
    """
    poses = poses_of(corners)
    turn = common_turn(poses.turn)
    quarter = np.round((poses.turn - turn) / (np.pi / 2)).astype(int)
    axes = np.exp(-1j * turn)
    middle = (poses.middle @ np.array([1, 1j])) * axes
    gap = (middle[None] - middle[:, None]) / np.reshape(scale, (-1, 1))
    found = []
    for side in range(4):
        towards = gap * 1j ** (2 - side)  # the direction of this side is turned to +y
        ahead, aside = towards.imag, np.abs(towards.real)
        beside = (ahead > AHEAD[0]) & (ahead < AHEAD[1]) & (aside < ASIDE)
        nearest = np.where(beside, ahead + aside, np.inf)
        index = np.where(beside.any(axis=1), nearest.argmin(axis=1), -1)
        order = (np.arange(4) + side - 2 - quarter[:, None]) % 4
        found.append(
            Facing(np.take_along_axis(corners, order[..., None], axis=1), order[:, 2], index)
        )
    return found


def axes(row: Facing) -> tuple[Array, Array]:
    """Directions (n, 2) from each square to the row ahead, and along its own row to the right."""
    side = row.corners[:, 2] - row.corners[:, 3]
    along = side / np.linalg.norm(side, axis=1)[:, None]
    return np.stack([-along[:, 1], along[:, 0]], axis=-1), along


def spaces(row: Facing) -> Array:
    """Ways from the side ahead of each covered square to the square ahead, in sides."""
    here = np.flatnonzero(row.ahead >= 0)
    there = row.corners[row.ahead[here]]
    across, _ = axes(row)
    gap = there[:, :2].mean(axis=1) - row.corners[here][:, 2:].mean(axis=1)
    return np.asarray((gap * across[here]).sum(axis=1))


def usual_space(row: Facing) -> float:
    """Median of the spaces; nan where neighbours are too few to tell."""
    return float(np.median(spaces(row))) if (row.ahead >= 0).sum() >= MIN_NEIGHBOURS else np.nan
