"""A lattice of square cells over a drawing, and the short seams that may run in it.

Each cell is cut by its two diagonals into four triangles, the upper, right, lower and left. A seam
may run along any side of a cell and any half of a diagonal. Every unit of squares, half-square and
quarter-square triangles lies on such a lattice if it is fine enough.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Final

from numpy.typing import NDArray

if TYPE_CHECKING:
    import numpy as np

UPPER, RIGHT, LOWER, LEFT = range(4)
"""The triangles of a cell."""
HALVES: Final = ((LEFT, UPPER), (UPPER, RIGHT), (RIGHT, LOWER), (LOWER, LEFT))
"""The triangles on either side of each half of a diagonal: from the middle to the upper left
corner, upper right, lower right and lower left."""


@dataclass(frozen=True, eq=False)
class Seams:
    """A number for each short seam of a lattice."""

    level: NDArray[np.float64]
    """(rows - 1, columns), of the sides between a cell and the one below it."""
    upright: NDArray[np.float64]
    """(rows, columns - 1), of those between a cell and the one to its right."""
    slanted: NDArray[np.float64]
    """(rows, columns, 4), of the halves of diagonals, in the order of `HALVES`."""


@dataclass(frozen=True, eq=False)
class SeamEnds:
    """Every short seam of a lattice: its ends, and the triangles on its two sides."""

    starts: NDArray[np.float64]
    """(n, 2), x and y in cells."""
    ends: NDArray[np.float64]
    sides: NDArray[np.int64]
    """(n, 2), numbers of triangles: 4 for each cell in reading order."""
    slanted: NDArray[np.bool_]


@cache
def seam_ends(rows: int, columns: int) -> SeamEnds:
    """Return the short seams of a lattice: level ones, upright ones, then slanted ones."""
    import numpy as np

    starts: list[tuple[float, float]] = []
    ends: list[tuple[float, float]] = []
    sides: list[tuple[int, int]] = []
    for r in range(rows - 1):
        for c in range(columns):
            starts.append((c, r + 1))
            ends.append((c + 1, r + 1))
            above = 4 * (r * columns + c)
            sides.append((above + LOWER, above + 4 * columns + UPPER))
    for r in range(rows):
        for c in range(columns - 1):
            starts.append((c + 1, r))
            ends.append((c + 1, r + 1))
            own = 4 * (r * columns + c)
            sides.append((own + RIGHT, own + 4 + LEFT))
    straight = len(starts)
    corners = ((0, 0), (1, 0), (1, 1), (0, 1))
    for r in range(rows):
        for c in range(columns):
            own = 4 * (r * columns + c)
            for (x, y), (one, other) in zip(corners, HALVES, strict=True):
                starts.append((c + x, r + y))
                ends.append((c + 0.5, r + 0.5))
                sides.append((own + one, own + other))
    return SeamEnds(
        np.array(starts, float),
        np.array(ends, float),
        np.array(sides),
        np.arange(len(starts)) >= straight,
    )


def as_seams(values: NDArray[np.float64], rows: int, columns: int) -> Seams:
    """Return numbers in the order of `seam_ends` as those of a lattice."""
    level, upright = (rows - 1) * columns, rows * (columns - 1)
    return Seams(
        values[:level].reshape(rows - 1, columns),
        values[level : level + upright].reshape(rows, columns - 1),
        values[level + upright :].reshape(rows, columns, 4),
    )


def triangles_of(
    rows: int, columns: int, shape: tuple[int, int], margin: float
) -> NDArray[np.int64]:
    """Return for each pixel the number of its triangle; -1 within a margin of px from its sides."""
    import numpy as np

    y, x = np.mgrid[: shape[0], : shape[1]] + 0.5
    cell = shape[1] / columns
    column = np.minimum((x / cell).astype(int), columns - 1)
    row = np.minimum((y / (shape[0] / rows)).astype(int), rows - 1)
    u, v = x / cell - column - 0.5, y / (shape[0] / rows) - row - 0.5
    triangle = np.where(
        np.abs(u) > np.abs(v), np.where(u > 0, RIGHT, LEFT), np.where(v > 0, LOWER, UPPER)
    )
    from_side = 0.5 - np.maximum(np.abs(u), np.abs(v))
    from_diagonal = np.abs(np.abs(u) - np.abs(v)) / np.sqrt(2)
    inside = np.minimum(from_side, from_diagonal) * cell >= margin
    return np.where(inside, 4 * (row * columns + column) + triangle, -1)
