"""How the seams round a block are pressed, in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from catalog.cutting.block_seams import Run
from catalog.cutting.quilt import Block
from catalog.cutting.quilt_sizes.block_places import Place, row_letters
from catalog.wall.quilt_seams import Part, Seam, SeamGrid


@dataclass(frozen=True)
class Pressing:
    """What is told of one block; empty where there is no such seam."""

    inside: str
    to_next: str
    row: str
    before: str
    strips: str
    edge: str


def pressing_of(
    seams: Sequence[Seam], spot: Place, block: Block, grid: SeamGrid, *, offset: bool = False
) -> Pressing:
    """Say how the seams of one block are pressed, as it hangs.

    Parameters
    ----------
    seams : sequence of Seam
        Those whose place the block is.
    spot : Place
    block : Block
    grid : SeamGrid
        That the seams lie on.
    offset : bool
        Whether every second row is offset by half a block.
    """
    sashed = bool(grid.strip)
    by_part: dict[Part, list[Seam]] = {}
    for seam in seams:
        by_part.setdefault(seam.part, []).append(seam)
    one = {part: str(found[0].way) for part, found in by_part.items()}
    corner = grid.corner(spot, offset=offset)
    finer = grid.wide // block.across, grid.high // block.down
    inside = [_in_own_cells(seam, corner, finer) for seam in by_part.get("inside", [])]
    both: tuple[Part, Part] = "strip above", "strip below"
    strips = [f"{part.split()[1]}: {_ends(by_part[part])}" for part in both if part in by_part]
    return Pressing(
        inside_words(inside, (0, 0), block.across, block.down),
        one.get("after", ""),
        "; ".join(_rows(one, spot.row, sashed=sashed)),
        one.get("before", ""),
        "; ".join(strips),
        "; ".join(f"{seam.to}: {seam.way}" for seam in by_part.get("edge", [])),
    )


def _in_own_cells(seam: Seam, corner: tuple[int, int], finer: tuple[int, int]) -> Seam:
    """Return a seam inside a block in that block's own cells, from its corner."""
    (at, along), (by, by_along) = corner, finer
    if seam.run == "level":
        at, along, by, by_along = along, at, by_along, by
    return replace(
        seam,
        at=(seam.at - at) // by,
        start=(seam.start - along) // by_along,
        end=(seam.end - along) // by_along,
    )


def inside_words(
    seams: Sequence[Seam], origin: tuple[int, int], across: int, down: int | None = None
) -> str:
    """Say how the seams inside one block are pressed, so that each is told.

    Seams of one row (column) that lie one way are told together; else each by the place that it
    comes after. Those from edge to edge join rows or columns.

    Parameters
    ----------
    seams : sequence of Seam
        Those inside the block.
    origin : (int, int)
        Cells from the left and from the top to the block.
    across : int
        Cells in a row of it.
    down : int, optional
        Rows of cells; as many as are across if not given.
    """
    ends = {"upright": across if down is None else down, "level": across}
    groups: dict[tuple[Run, int, int], list[Seam]] = {}
    for seam in seams:
        low = origin[1] if seam.run == "upright" else origin[0]
        groups.setdefault((seam.run, seam.start - low, seam.end - low), []).append(seam)
    parts, joins = [], []
    for (run, start, end), group in sorted(groups.items(), key=lambda item: item[0][1:]):
        before = origin[0] if run == "upright" else origin[1]
        ways = _ways(run, group, before)
        if (start, end) == (0, ends[run]):
            joins.append((run, ways))
        else:
            parts.append(f"{_which('row' if run == 'upright' else 'column', start, end)} {ways}")
    kinds = {run for run, _ in joins}
    for run, ways in joins:
        if parts or len(kinds) > 1:
            parts.append(f"{'joins of columns' if run == 'upright' else 'joins of rows'} {ways}")
        else:
            parts.append(f"all {ways}")
    return ", ".join(parts)


def _ways(run: Run, group: Sequence[Seam], before: int) -> str:
    """Say one way for all, or for each seam what it comes after."""
    ways = {str(seam.way) for seam in group}
    if len(ways) == 1:
        return ways.pop()
    what = "column" if run == "upright" else "row"
    told = [f"after {what} {s.at - before} {s.way}" for s in sorted(group, key=lambda s: s.at)]
    return " and ".join(told)


def _which(name: str, start: int, end: int) -> str:
    return f"{name} {start + 1}" if end - start == 1 else f"{name}s {start + 1}-{end}"


def _rows(one: dict[Part, str], row: int, *, sashed: bool) -> list[str]:
    here, below = row_letters(row), row_letters(row + 1)
    if not sashed:
        return [f"row {here} to {below}: {one['row']}"] if "row" in one else []
    told = [f"strips above to row {here}: {one['above']}"] if "above" in one else []
    return [*told, *([f"row {here} to strips below: {one['row']}"] if "row" in one else [])]


def _ends(seams: Sequence[Seam]) -> str:
    """Say how a strip's ends are pressed; both to the strip is the rule."""
    if all(seam.way == seam.first for seam in seams):
        return "posts to the strip"
    return " and ".join(str(seam.way) for seam in sorted(seams, key=lambda s: s.at))
