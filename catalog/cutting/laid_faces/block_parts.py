"""A block's pieces as polygons on its grid."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from catalog.cutting.quilt import Block, Cell, Patch
from catalog.cutting.quilt_units import kind_of
from catalog.cutting.unit_faces import turned


@dataclass(frozen=True)
class BlockPart:
    """One polygon of a block."""

    cell: Cell
    patch: Patch
    corners: tuple[tuple[float, float], ...]
    """In cells from the block's upper left corner, before the block is turned."""


def block_parts(block: Block) -> Iterator[BlockPart]:
    """Yield every polygon of a block in reading order of its cells."""
    for cell in block.cells:
        unit = block.units[cell.unit]
        for patch, part in zip(unit.patches, kind_of(unit).parts, strict=True):
            for polygon in part.polygons:
                shares = (turned((float(x), float(y)), cell.turn) for x, y in polygon)
                corners = tuple(
                    (cell.column + x * cell.wide, cell.row + y * cell.high) for x, y in shares
                )
                yield BlockPart(cell, patch, corners)
