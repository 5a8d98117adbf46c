"""A planned wall as arrays, along the blocks' own sides."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.wall_checking.planned_wall import PlannedBlock, PlannedWall

Floats = NDArray[np.float64]
SAME_SIZE_IN = 0.05
"""Inches within which two squares of the plan are of one size."""


@dataclass(frozen=True, eq=False)
class PlanSquares:
    """What of a plan shows as squares, m of them: whole blocks and their units."""

    owner: NDArray[np.intp]
    """(m,) which block each belongs to."""
    local: Floats
    """(m, 2) its middle from the block's, inches."""
    side: Floats
    """(m,) inches, finished."""

    def of_side(self, side: float) -> PlanSquares:
        """Return those of one size."""
        keep = np.abs(self.side - side) < SAME_SIZE_IN
        return PlanSquares(self.owner[keep], self.local[keep], self.side[keep])

    def sides(self) -> list[float]:
        """Return their sizes, the commonest first."""
        values, counts = np.unique(np.round(self.side / SAME_SIZE_IN), return_counts=True)
        return [float(values[k]) * SAME_SIZE_IN for k in np.argsort(-counts, kind="stable")]


def middles_of(plan: PlannedWall) -> Floats:
    """Return the middles (n, 2) of the blocks along their own sides, inches."""
    spots = np.array([(block.x, block.y) for block in plan.blocks], np.float64).reshape(-1, 2)
    if not plan.on_point:
        return spots
    x, y = spots.T
    return np.asarray(np.stack([x + y, y - x], axis=1) / np.sqrt(2.0), np.float64)


def squares_of(plan: PlannedWall) -> PlanSquares:
    """Return what shows as squares of the blocks that are to hang."""
    found = [
        (number, middle, side)
        for number, block in enumerate(plan.blocks)
        if block.patches
        for middle, side in _squares_in(block)
    ]
    return PlanSquares(
        np.array([number for number, _, _ in found], np.intp),
        np.array([middle for _, middle, _ in found], np.float64).reshape(-1, 2),
        np.array([side for _, _, side in found], np.float64),
    )


def _squares_in(block: PlannedBlock) -> list[tuple[tuple[float, float], float]]:
    found = []
    whole = np.array([(-1, -1), (1, 1)]) * np.array([block.width, block.height]) / 2.0
    for outline in {*block.units, tuple(map(tuple, whole))}:
        corners = np.array(outline)
        low, high = corners.min(axis=0), corners.max(axis=0)
        size = high - low
        if abs(size[0] - size[1]) < SAME_SIZE_IN:
            middle = (low + high) / 2.0
            found.append(((float(middle[0]), float(middle[1])), float(size.mean())))
    return sorted(set(found))
