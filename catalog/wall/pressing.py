"""Which way each seam is pressed, so that seams that meet lie opposite ways.

Two seams meet where one ends and another goes on in the same line beyond a seam across. All seams
in one line make a chain, so pressing them to one side and the other by turns always comes out.
Seams beside sashing are pressed to the sashing, as is usual; by the same rule those of posts then
go to the strips.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal

from catalog.block_seams import BlockSeam, Run, sewing_order
from catalog.quilt import Block
from catalog.quilt_sizes import Place

Way = Literal["left", "right", "up", "down"]
WAYS: Final[dict[Run, tuple[Way, Way]]] = {"upright": ("right", "left"), "level": ("down", "up")}
"""Both ways to press a seam."""
Part = Literal["inside", "before", "after", "strip", "row"]
"""Where a seam lies: in a block, at its left or right side, in a row of strips and posts, between
rows."""


@dataclass(frozen=True)
class Seam:
    """A seam of the quilt, in cells of the blocks' grids; sashing counts as one cell."""

    run: Run
    at: int
    start: int
    end: int
    part: Part
    place: int
    """Number of the block that it is in or beside; of a row's seam, the row's first block."""
    first: Way
    """Way to press it where no other seam decides."""
    way: Way | None = None


def pressed(
    block: Block, spots: Sequence[Place], turns: Sequence[int], *, sashing: bool, posts: bool
) -> tuple[Seam, ...]:
    """Return every seam between the pieces of a quilt's middle, with its way.

    Parameters
    ----------
    block : Block
    spots : sequence of Place
        As `places` gives them.
    turns : sequence of int
        Degrees clockwise by which each block is turned.
    sashing, posts : bool
        Whether strips lie between the blocks, and squares where they cross.
    """
    seams = list(_seams(block, spots, turns, sashing=sashing, posts=posts))
    seams.sort(key=lambda seam: (seam.run, seam.at, seam.start))
    done: list[Seam] = []
    for seam in seams:
        before = done[-1] if done else None
        way = seam.first
        if before and meets(before, seam):
            one, other = WAYS[seam.run]
            way = other if before.way == one else one
        done.append(replace(seam, way=way))
    return tuple(done)


def meets(one: Seam, two: Seam) -> bool:
    """Say whether the second seam goes on where the first ends."""
    return (one.run, one.at, one.end) == (two.run, two.at, two.start)


def turned_seam(seam: BlockSeam, across: int, turn: int) -> BlockSeam:
    """Return a seam of a block that is turned clockwise: (x, y) goes to (across - y, x)."""
    for _ in range(turn // 90 % 4):
        if seam.run == "upright":
            seam = BlockSeam("level", seam.at, across - seam.end, across - seam.start)
        else:
            seam = BlockSeam("upright", across - seam.at, seam.start, seam.end)
    return seam


def _seams(
    block: Block, spots: Sequence[Place], turns: Sequence[int], *, sashing: bool, posts: bool
) -> Iterator[Seam]:
    step = block.across + (1 if sashing else 0)
    inner = sewing_order(block) or ()
    ends = _row_ends(spots)
    taken = {(spot.row, spot.column) for spot in spots}
    for number, (spot, turn) in enumerate(zip(spots, turns, strict=True)):
        x, y = spot.column * step, spot.row * step
        for one in inner:
            seam = turned_seam(one, block.across, turn)
            shift, along = (x, y) if seam.run == "upright" else (y, x)
            odd = (along + seam.start) // max(1, seam.end - seam.start) % 2
            first = WAYS[seam.run][odd]
            at, start, end = shift + seam.at, along + seam.start, along + seam.end
            yield Seam(seam.run, at, start, end, "inside", number, first)
        if sashing:
            below = posts and (spot.row + 1, spot.column) in taken
            yield from _strip_sides(number, x, y, block.across, below=below)
        elif (spot.row, spot.column + 1) in taken:
            way = WAYS["upright"][spot.row % 2]
            at = x + block.across
            yield Seam("upright", at, y, at - x + y, "after", number, way)
        if number == ends[spot.row][0] and spot.row + 1 in ends:
            last = spots[ends[spot.row][1]].column * step + block.across
            yield Seam("level", y + block.across, x, last, "row", number, "down")


def _strip_sides(number: int, x: int, y: int, across: int, *, below: bool) -> Iterator[Seam]:
    """Yield the seams at the sides of a block between strips, and of the strip below it."""
    end = y + across
    yield Seam("upright", x, y, end, "before", number, "left")
    yield Seam("upright", x + across, y, end, "after", number, "right")
    if below:
        yield Seam("upright", x, end, end + 1, "strip", number, "right")
        yield Seam("upright", x + across, end, end + 1, "strip", number, "left")


def _row_ends(spots: Sequence[Place]) -> dict[int, tuple[int, int]]:
    """Return the first and last place of each row."""
    ends: dict[int, tuple[int, int]] = {}
    for number, spot in enumerate(spots):
        ends[spot.row] = (ends.get(spot.row, (number, number))[0], number)
    return ends


def inside_words(seams: Sequence[Seam], origin: tuple[int, int], across: int) -> str:
    """Say how the seams inside one block are pressed, as it hangs.

    Parameters
    ----------
    seams : sequence of Seam
        Those inside the block.
    origin : (int, int)
        Cells from the left and from the top to the block.
    across : int
        Cells in a row of it.
    """
    groups: dict[tuple[Run, int, int], list[Seam]] = {}
    for seam in seams:
        low = origin[1] if seam.run == "upright" else origin[0]
        groups.setdefault((seam.run, seam.start - low, seam.end - low), []).append(seam)
    parts, joins = [], []
    for (run, start, end), group in sorted(groups.items(), key=lambda item: item[0][1:]):
        ways = list(dict.fromkeys(str(seam.way) for seam in group))
        if (start, end) == (0, across):
            joins.append((run, " and ".join(ways)))
        else:
            name = "row" if run == "upright" else "column"
            which = f"{start + 1}" if end - start == 1 else f"{start + 1}-{end}"
            parts.append(f"{name} {which} {' and '.join(ways)}")
    kinds = {run for run, _ in joins}
    for run, way in joins:
        if parts or len(kinds) > 1:
            parts.append(f"{'joins of columns' if run == 'upright' else 'joins of rows'} {way}")
        else:
            parts.append(f"all {way}")
    return ", ".join(parts)
