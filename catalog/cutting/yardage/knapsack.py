"""How the pieces of one strip may lie side by side."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
SLACK = 1e-9
"""Room for rounding in sums of prices."""


@dataclass(frozen=True)
class StripColumn:
    """Pieces of one kind above one another in a strip, as one crosscut gives them."""

    kind: int
    """Number of the kind of piece."""
    across: int
    """Width of the crosscut, in units of the plan."""
    along: int
    """Length of one piece along the cloth, in units."""
    stacked: int
    """Pieces in the column."""
    most: int
    """Columns beyond which the strip would hold more pieces than are wanted."""


@dataclass(frozen=True)
class StripPattern:
    """What is cut from one strip."""

    height: int
    """Units."""
    columns: tuple[tuple[StripColumn, int], ...]
    """Each column with its number, 1 or more."""

    def yields(self, kinds: int) -> NDArray[np.int64]:
        """Return the pieces of each kind in it, shape (kinds,)."""
        got = np.zeros(kinds, np.int64)
        for column, number in self.columns:
            got[column.kind] += column.stacked * number
        return got


def best_values(columns: Sequence[StripColumn], prices: Floats, width: int) -> Floats:
    """Return what the room in a strip is worth at most.

    Parameters
    ----------
    columns : sequence of StripColumn
        What may lie in the strip.
    prices : ndarray
        (kinds,) worth of one piece of each kind, 0 or more.
    width : int
        Units across the strip.

    Returns
    -------
    ndarray
        (columns + 1, width + 1): entry j, r is the greatest worth of columns j, j + 1, ... in r
        units, each within its ``most``.
    """
    best = np.zeros((len(columns) + 1, width + 1))
    for j in range(len(columns) - 1, -1, -1):
        column, rest = columns[j], best[j + 1]
        worth = prices[column.kind] * column.stacked
        values = rest.copy()
        if worth > 0:
            for number in range(1, min(column.most, width // column.across) + 1):
                used = number * column.across
                np.maximum(
                    values[used:], rest[: width + 1 - used] + number * worth, out=values[used:]
                )
        best[j] = values
    return best


def patterns_worth(
    height: int, columns: Sequence[StripColumn], prices: Floats, width: int, least: float
) -> Iterator[StripPattern]:
    """Give the patterns worth at least `least`, the fullest first.

    Of patterns that differ only in room left for the last column the fullest alone is given.
    """
    best = best_values(columns, prices, width)
    stack: list[tuple[int, int, float, tuple[int, ...]]] = [(0, width, 0.0, ())]
    while stack:
        j, room, worth, numbers = stack.pop()
        if worth + best[j, room] < least - SLACK:
            continue
        if j == len(columns):
            chosen = tuple((c, n) for c, n in zip(columns, numbers, strict=True) if n)
            if chosen:
                yield StripPattern(height, chosen)
            continue
        column = columns[j]
        most = min(column.most, room // column.across)
        fewest = most if j == len(columns) - 1 else 0
        for number in range(fewest, most + 1):
            gain = number * column.stacked * float(prices[column.kind])
            left = room - number * column.across
            stack.append((j + 1, left, worth + gain, (*numbers, number)))


def best_pattern(
    height: int, columns: Sequence[StripColumn], prices: Floats, width: int
) -> tuple[float, StripPattern | None]:
    """Return the worth of the most valuable pattern of a strip, and the pattern."""
    worth = float(best_values(columns, prices, width)[0, width])
    return worth, next(patterns_worth(height, columns, prices, width, worth), None)
