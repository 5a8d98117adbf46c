"""Which of a quilt's blocks lies where, and how many there are of each."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from typing import Final

from catalog.cutting.quilt_sizes.block_places import Place
from catalog.cutting.quilt_sizes.quilt_layout import Layout


@dataclass(frozen=True)
class MappedBlock:
    """One place of a map."""

    block: int
    """Which of the quilt's blocks, from 0."""
    turn: int = 0
    """Degrees clockwise by which it is turned there."""


@dataclass(frozen=True)
class BlockMap:
    """Lines of blocks as the eye sees them, repeated over the quilt as far as it goes.

    On point a line of blocks that touch the sides comes by turns with one of those between them.
    """

    lines: tuple[tuple[MappedBlock, ...], ...] = ((MappedBlock(0),),)

    def at(self, spot: Place) -> MappedBlock:
        """Return what lies at a place."""
        line = self.lines[spot.line % len(self.lines)]
        return line[spot.in_line % len(line)]

    def counts(self, layout: Layout) -> Counter[int]:
        """Return how many there are of each block in a layout."""
        if len(self.lines) == len(self.lines[0]) == 1:
            return Counter({self.lines[0][0].block: layout.blocks})
        found: Counter[int] = Counter()
        period = math.lcm(len(self.lines), 2)
        for number in range(min(period, layout.lines)):
            alike = -(-(layout.lines - number) // period)
            line, length = self.lines[number % len(self.lines)], layout.line_lengths[number % 2]
            for place, one in enumerate(line[:length]):
                found[one.block] += alike * -(-(length - place) // len(line))
        return found


ONE_BLOCK: Final = BlockMap()
"""The map of a quilt of one block."""


def alternating(blocks: int, way: str, *, on_point: bool) -> BlockMap:
    """Return the map of blocks that take turns.

    Parameters
    ----------
    blocks : int
        Different ones.
    way : {"chequered", "rows", "columns"}
        By rows and columns, by rows alone, or by columns alone. On point chequered blocks take
        turns by lines: those that touch the sides are of one kind and those between of another.
    on_point : bool
    """
    each = [MappedBlock(number) for number in range(blocks)]
    if way == "rows" or (way == "chequered" and on_point):
        return BlockMap(tuple((one,) for one in each))
    if way == "columns":
        return BlockMap((tuple(each),))
    return BlockMap(tuple((*each[row:], *each[:row]) for row in range(blocks)))
