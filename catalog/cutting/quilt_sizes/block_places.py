"""The places of a quilt's blocks, straight or on point, row by row as they are sewn."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Final

from catalog.cutting.quilt_sizes.quilt_layout import Layout

Crossing = tuple[int, int]
"""Row and column of a crossing of the sashing: at the upper left of a block, those of the block."""
_LETTERS: Final = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@dataclass(frozen=True)
class Place:
    """A block's place."""

    row: int
    """As it is sewn, from 0; on point rows run down to the right, the first in the upper right
    corner."""
    column: int
    """In its row, from 0; on point counted on the slanting grid, so that rows begin where they
    begin."""
    in_row: int
    """In its row, from 0, without gaps."""
    x: float
    """Of its middle, inches from the left edge of the quilt's middle."""
    y: float
    """From the top edge."""
    across: float
    """Steps of blocks from the left, as the eye sees it."""
    down: float
    """Steps of blocks from the top."""
    line: int
    """Of the lines that the eye sees, from 0 at the top; on point those between the others too."""
    in_line: int
    """In its line, from 0."""

    @property
    def label(self) -> str:
        """Letter of the row and number in it."""
        return f"{row_letters(self.row)}{self.in_row + 1}"


def row_letters(row: int) -> str:
    """Return A for row 0, Z for 25, AA for 26."""
    letters, row = "", row + 1
    while row:
        row, rest = divmod(row - 1, len(_LETTERS))
        letters = _LETTERS[rest] + letters
    return letters


def crossings_round(spot: Place) -> tuple[Crossing, Crossing, Crossing, Crossing]:
    """Return a block's crossings, clockwise from the upper left."""
    r, c = spot.row, spot.column
    return (r, c), (r, c + 1), (r + 1, c + 1), (r + 1, c)


@lru_cache(maxsize=16)
def places(layout: Layout) -> tuple[Place, ...]:
    """Return the places of a layout in the order of sewing, row by row."""
    return _on_point(layout) if layout.on_point else _straight(layout)


def _straight(layout: Layout) -> tuple[Place, ...]:
    margin = layout.sashing if layout.framed else 0
    wide, tall = layout.block + layout.sashing, layout.tall + layout.sashing
    found = []
    for r in range(layout.rows):
        shift = Fraction(r % 2, 2) if layout.offset else Fraction(0)
        for c in range(layout.line_lengths[r % 2]):
            x = margin + (c + shift) * wide + layout.block / 2
            y = margin + r * tall + layout.tall / 2
            found.append(Place(r, c, c, float(x), float(y), float(c + shift), float(r), r, c))
    return tuple(found)


def _on_point(layout: Layout) -> tuple[Place, ...]:
    """Return blocks on point; x + y and y - x of their middles count the slanting rows."""
    step = float(layout.block + layout.sashing) * math.sqrt(2.0) / 2.0
    margin = 0.0 if layout.half_posts else float(layout.sashing) * math.sqrt(2.0) / 2.0
    halves = [
        (x, y)
        for y in range(1, 2 * layout.rows)
        for x in range(1, 2 * layout.columns)
        if x % 2 == y % 2
    ]
    lowest = min((y - x) // 2 for x, y in halves)
    found = sorted(((y - x) // 2 - lowest, (x + y) // 2 - 1, x, y) for x, y in halves)
    spots, count = [], dict[int, int]()
    for row, column, x, y in found:
        in_row = count.get(row, 0)
        count[row] = in_row + 1
        middle = (margin + x * step, margin + y * step)
        seen, line = ((x - 1) / 2, (y - 1) / 2), (y - 1, (x - 1) // 2)
        spots.append(Place(row, column, in_row, *middle, *seen, *line))
    return tuple(spots)
