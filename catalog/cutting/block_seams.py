"""The straight seams of a block in the order in which they are sewn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from catalog.cutting.quilt import Block, Cell

Run = Literal["upright", "level"]
"""Which way a seam runs: up and down, or across."""


@dataclass(frozen=True)
class BlockSeam:
    """One seam inside a block, in cells from its top left corner, before the block is turned."""

    run: Run
    at: int
    """Where it lies: from the left if upright, from the top if level."""
    start: int
    """Where it begins along itself: from the top if upright, from the left if level."""
    end: int


def sewing_order(block: Block) -> tuple[BlockSeam, ...] | None:
    """Return a block's seams, the first to be sewn first; None where straight seams can't do it.

    Rows are sewn first and then joined, where the block has rows; within a part likewise: the
    block is cut along straight lines from edge to edge, across before down, again and again, and
    sewn in the opposite order.
    """
    return _sewn(block.cells, (0, 0, block.down, block.across))


def _sewn(cells: Sequence[Cell], part: tuple[int, int, int, int]) -> tuple[BlockSeam, ...] | None:
    """Return the seams of a part (top, left, bottom, right)."""
    if len(cells) <= 1:
        return ()
    top, left, bottom, right = part
    for run, low, high in (("level", top, bottom), ("upright", left, right)):
        cuts = [at for at in range(low + 1, high) if _free(cells, run, at)]
        if cuts:
            return _parts(cells, part, "level" if run == "level" else "upright", cuts)
    return None


def _free(cells: Sequence[Cell], run: str, at: int) -> bool:
    if run == "level":
        return all(not cell.row < at < cell.row + cell.high for cell in cells)
    return all(not cell.column < at < cell.column + cell.wide for cell in cells)


def _parts(
    cells: Sequence[Cell], part: tuple[int, int, int, int], run: Run, cuts: Sequence[int]
) -> tuple[BlockSeam, ...] | None:
    top, left, bottom, right = part
    low, high = (top, bottom) if run == "level" else (left, right)
    seams: list[BlockSeam] = []
    edges = [low, *cuts, high]
    for first, last in pairwise(edges):
        if run == "level":
            inside = [cell for cell in cells if first <= cell.row < last]
            inner = _sewn(inside, (first, left, last, right))
        else:
            inside = [cell for cell in cells if first <= cell.column < last]
            inner = _sewn(inside, (top, first, bottom, last))
        if inner is None:
            return None
        seams.extend(inner)
    start, end = (left, right) if run == "level" else (top, bottom)
    return (*seams, *(BlockSeam(run, at, start, end) for at in cuts))
