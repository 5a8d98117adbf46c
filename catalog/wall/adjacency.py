"""Which blocks lie beside one another on the wall, and how far along an arrangement."""

from __future__ import annotations

from collections.abc import Sequence

from catalog.cutting.plans import Arrangement
from catalog.cutting.quilt_sizes.block_places import Place


def neighbours(spots: Sequence[Place], corners: float = 0.0) -> list[tuple[int, int, float]]:
    """Return which places touch, each pair once: 1 along a side, `corners` at a corner."""
    at = {(spot.row, spot.column): number for number, spot in enumerate(spots)}
    if any(spot.across == spot.column + 0.5 for spot in spots):
        return [
            (number, at[place], 1.0)
            for number, spot in enumerate(spots)
            for place in _touching_offset(spot)
            if place in at
        ]
    steps = [(0, 1, 1.0), (1, 0, 1.0)]
    if corners:
        steps += [(1, 1, corners), (1, -1, corners)]
    return [
        (number, at[(spot.row + down, spot.column + across)], weight)
        for number, spot in enumerate(spots)
        for down, across, weight in steps
        if (spot.row + down, spot.column + across) in at
    ]


def _touching_offset(spot: Place) -> tuple[tuple[int, int], ...]:
    """Return the places to the right of a block and below it, where rows are offset by a half."""
    left = spot.column if spot.row % 2 else spot.column - 1
    return (
        (spot.row, spot.column + 1),
        (spot.row + 1, left),
        (spot.row + 1, left + 1),
    )


def along(spot: Place, arrangement: Arrangement) -> float:
    """Return how far a place lies along an arrangement, in steps of a row or column."""
    if arrangement == "rainbow-across":
        return spot.across
    if arrangement == "rainbow-diagonal":
        return spot.across + spot.down
    return spot.down
