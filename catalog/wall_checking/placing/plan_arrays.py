"""A planned wall as arrays, along the blocks' own sides."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from catalog.models import Point
from catalog.wall_checking.planned_wall import PlannedBlock, PlannedWall

Floats = NDArray[np.float64]
SAME_SIZE_IN = 0.05
"""Inches within which two squares of the plan are of one size."""


@dataclass(frozen=True, eq=False)
class PlanSquares:
    """What of a plan shows as squares, m of them: blocks, units, and squares of one cloth."""

    owner: NDArray[np.intp]
    """(m,) which block each belongs to."""
    local: Floats
    """(m, 2) its middle from the block's, inches."""
    side: Floats
    """(m,) inches, finished."""
    tilted: NDArray[np.bool_]
    """(m,) whether it stands on its corner in its block."""

    def only(self, side: float, tilted: bool) -> PlanSquares:
        """Return those of one size that stand alike."""
        keep = (np.abs(self.side - side) < SAME_SIZE_IN) & (self.tilted == tilted)
        return PlanSquares(self.owner[keep], self.local[keep], self.side[keep], self.tilted[keep])

    def kinds(self) -> list[tuple[float, bool]]:
        """Return their sizes and whether they stand on their corners, the commonest first."""
        told = zip(np.round(self.side / SAME_SIZE_IN), self.tilted, strict=True)
        counts = Counter((float(size) * SAME_SIZE_IN, bool(tilted)) for size, tilted in told)
        return [kind for kind, _ in counts.most_common()]


def middles_of(plan: PlannedWall) -> Floats:
    """Return the middles (n, 2) of the blocks along their own sides, inches."""
    spots = np.array([(block.x, block.y) for block in plan.blocks], np.float64).reshape(-1, 2)
    if not plan.on_point:
        return spots
    x, y = spots.T
    return np.asarray(np.stack([x + y, y - x], axis=1) / np.sqrt(2.0), np.float64)


def squares_of(plan: PlannedWall) -> PlanSquares:
    """Return what shows as squares of the blocks that are to hang."""
    by_make: dict[object, list[tuple[Point, float, bool]]] = {}
    found = []
    for number, block in enumerate(plan.blocks):
        if block.patches:
            make = (block.patches, block.width, block.height)
            if make not in by_make:
                by_make[make] = sorted(_squares_in(block))
            found += [(number, *square) for square in by_make[make]]
    return PlanSquares(
        np.array([row[0] for row in found], np.intp),
        np.array([row[1] for row in found], np.float64).reshape(-1, 2),
        np.array([row[2] for row in found], np.float64),
        np.array([row[3] for row in found], np.bool_),
    )


def _squares_in(block: PlannedBlock) -> set[tuple[Point, float, bool]]:
    """Return middle, side, and whether they stand on their corners, of squares in a block."""
    across, down = block.width / 2.0, block.height / 2.0
    whole = ((-across, -down), (across, -down), (across, down), (-across, down))
    found = set()
    for outline in (whole, *block.units):
        (left, top), (right, bottom) = np.min(outline, axis=0), np.max(outline, axis=0)
        if abs((right - left) - (bottom - top)) < SAME_SIZE_IN:
            found.add(_square((left + right) / 2.0, (top + bottom) / 2.0, right - left, False))
    for cloth in {(patch.slot, patch.bought) for patch in block.patches}:
        own = [patch.polygon for patch in block.patches if (patch.slot, patch.bought) == cloth]
        found |= _squares_of_cloth(own)
    return found


def _square(x: float, y: float, side: float, tilted: bool) -> tuple[Point, float, bool]:
    return (round(float(x), 3), round(float(y), 3)), round(float(side), 3), tilted


def _squares_of_cloth(polygons: Sequence[tuple[Point, ...]]) -> set[tuple[Point, float, bool]]:
    """Return the squares on their corners that patches of one cloth fill together."""
    corners = np.unique(np.round(np.concatenate([np.array(one) for one in polygons]), 3), axis=0)
    found = set()
    for left, right in product(corners, corners):
        width = right[0] - left[0]
        if width < SAME_SIZE_IN or abs(left[1] - right[1]) > SAME_SIZE_IN:
            continue
        middle = (left + right) / 2.0
        filled = sum(_area(one) for one in polygons if _in_diamond(one, middle, width / 2.0))
        if abs(filled - width**2 / 2.0) < SAME_SIZE_IN * width:
            found.add(_square(middle[0], middle[1], width / np.sqrt(2.0), True))
    return found


def _in_diamond(polygon: tuple[Point, ...], middle: Floats, reach: float) -> bool:
    far = np.abs(np.array(polygon) - middle).sum(axis=1).max()
    return bool(far < reach + SAME_SIZE_IN)


def _area(polygon: tuple[Point, ...]) -> float:
    x, y = np.array(polygon).T
    return float(abs((x * np.roll(y, -1) - y * np.roll(x, -1)).sum()) / 2.0)
