"""The seams of a quilt's middle: in the blocks, between them, round strips, posts and triangles.

All lie on a grid of cells: a block's own, with one cell for sashing; of several blocks one fine
enough for all. On point the grid is the slanting one that rows follow.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from catalog.cutting.block_seams import BlockSeam, Run, sewing_order
from catalog.cutting.quilt import Block
from catalog.cutting.quilt_sizes.block_places import Place
from catalog.cutting.quilt_sizes.quilt_layout import Layout

Way = Literal["left", "right", "up", "down"]
WAYS: Final[dict[Run, tuple[Way, Way]]] = {"upright": ("right", "left"), "level": ("down", "up")}
"""Both ways to press a seam."""
Part = Literal["inside", "before", "after", "strip above", "strip below", "above", "row", "edge"]
"""Where a seam lies: in a block, at its left or right side, at an end of the strip above or below
it, between its row and what is above or below, or at the quilt's edge."""


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
    to: str = ""
    """What lies beyond it at the quilt's edge."""


@dataclass(frozen=True)
class LaidBlock:
    """A block as it lies in the quilt."""

    block: Block
    turn: int = 0
    """Degrees clockwise."""


@dataclass(frozen=True)
class SeamGrid:
    """The grid on which all seams lie: fine enough for the cells of every block."""

    wide: int
    """Cells that a block is wide."""
    high: int
    strip: int
    """Cells that sashing is wide; 0 without."""

    def corner(self, spot: Place, *, offset: bool) -> tuple[int, int]:
        """Return cells from the left and from the top to a block."""
        step = self.wide + self.strip
        shift = step // 2 if offset and spot.row % 2 else 0
        return spot.column * step + shift, spot.row * (self.high + self.strip)


def grid_of(laid: Sequence[LaidBlock], layout: Layout) -> SeamGrid:
    """Return the grid of a quilt; with one block it is that block's own, with a cell for sashing.

    Rows that are offset by half a block make it twice as fine.
    """
    finer = 2 if layout.offset else 1
    across = {one.block.across for one in laid}
    down = {one.block.down for one in laid}
    strip = finer if layout.sashing else 0
    return SeamGrid(finer * math.lcm(*across), finer * math.lcm(*down), strip)


def turned_seam(seam: BlockSeam, across: int, turn: int, down: int | None = None) -> BlockSeam:
    """Return a seam of a block that is turned clockwise: (x, y) goes to (rows - y, x)."""
    wide, high = across, across if down is None else down
    for _ in range(turn // 90 % 4):
        if seam.run == "upright":
            seam = BlockSeam("level", seam.at, high - seam.end, high - seam.start)
        else:
            seam = BlockSeam("upright", high - seam.at, seam.start, seam.end)
        wide, high = high, wide
    return seam


def seams_of(laid: Sequence[LaidBlock], layout: Layout, spots: Sequence[Place]) -> list[Seam]:
    """Return every seam between the pieces of a quilt's middle, as `pressing.pressed` needs them.

    Where strips lie between blocks without posts, long ones run across, and outer ones go round
    like a border, the sides first. Rows that are offset begin and end with half a block of cloth.
    """
    lines = _SeamLines(laid, layout, spots)
    return [*lines.inside(), *lines.sides(), *lines.strips(), *lines.joins(), *lines.edges()]


class _SeamLines:
    """The quilt on its grid."""

    def __init__(self, laid: Sequence[LaidBlock], layout: Layout, spots: Sequence[Place]) -> None:
        self.laid, self.layout, self.spots = laid, layout, spots
        self.grid = grid = grid_of(laid, layout)
        self.sashed = bool(layout.sashing)
        self.posts = self.sashed and layout.posts
        self.wide, self.high, self.strip = grid.wide, grid.high, grid.strip
        self.step_x, self.step_y = self.wide + self.strip, self.high + self.strip
        self.at = {(spot.row, spot.column): number for number, spot in enumerate(spots)}
        self.rows: dict[int, list[int]] = {}
        for number, spot in enumerate(spots):
            self.rows.setdefault(spot.row, []).append(number)

    def _corner(self, spot: Place) -> tuple[int, int]:
        return self.grid.corner(spot, offset=self.layout.offset)

    def inside(self) -> Iterator[Seam]:
        """Yield the seams of the blocks."""
        orders = {id(one.block): sewing_order(one.block) or () for one in self.laid}
        for number, (spot, one) in enumerate(zip(self.spots, self.laid, strict=True)):
            x, y = self._corner(spot)
            block, turn = one.block, one.turn
            finer = {"upright": self.wide // block.across, "level": self.high // block.down}
            for own in orders[id(block)]:
                seam = turned_seam(own, block.across, turn, block.down)
                shift, along = (x, y) if seam.run == "upright" else (y, x)
                other = "level" if seam.run == "upright" else "upright"
                start, end = along + seam.start * finer[other], along + seam.end * finer[other]
                odd = start // max(1, end - start) % 2
                at = shift + seam.at * finer[seam.run]
                yield Seam(seam.run, at, start, end, "inside", number, WAYS[seam.run][odd])

    def sides(self) -> Iterator[Seam]:
        """Yield the seams at the left and right of each block, to a block, strip or triangle."""
        for number, spot in enumerate(self.spots):
            x, y = self._corner(spot)
            span = y, y + self.high
            before, after = ((spot.row, spot.column + to) in self.at for to in (-1, 1))
            halves = self.layout.offset and bool(spot.row % 2)
            if self.sashed:
                yield from self._sashed_sides(number, x, span, (before or halves, after or halves))
                continue
            way = WAYS["upright"][spot.row % 2]
            if after or self.layout.on_point or halves:
                corner = not after and not halves and self._is_corner(spot.row, spot.column + 1)
                first: Way = "right" if corner else way
                yield Seam("upright", x + self.wide, *span, "after", number, first)
            if not before and (self.layout.on_point or halves):
                corner = not halves and self._is_corner(spot.row, spot.column - 1)
                yield Seam("upright", x, *span, "before", number, "left" if corner else way)

    def _sashed_sides(
        self, number: int, x: int, span: tuple[int, int], beside: tuple[bool, bool]
    ) -> Iterator[Seam]:
        """Yield the seams between a block and the strips beside it."""
        all_round = self.layout.framed and self.posts
        if beside[0] or all_round:
            yield Seam("upright", x, *span, "before", number, "left")
        if beside[1] or all_round:
            yield Seam("upright", x + self.wide, *span, "after", number, "right")

    def strips(self) -> Iterator[Seam]:
        """Yield the seams between the posts and the strips of the rows of sashing."""
        if not self.posts:
            return
        for number, spot in enumerate(self.spots):
            x = spot.column * self.step_x
            above, below = ((spot.row + to, spot.column) in self.at for to in (-1, 1))
            before, after = ((spot.row, spot.column + to) in self.at for to in (-1, 1))
            gaps: list[tuple[int, Part]] = []
            if below or self.layout.framed:
                gaps.append((spot.row + 1, "strip below"))
            if not above and self.layout.framed:
                gaps.append((spot.row, "strip above"))
            for gap, part in gaps:
                span = gap * self.step_y - self.strip, gap * self.step_y
                if before or self.layout.framed:
                    yield Seam("upright", x, *span, part, number, "right")
                if after or self.layout.framed:
                    yield Seam("upright", x + self.wide, *span, part, number, "left")

    def joins(self) -> Iterator[Seam]:
        """Yield the seams between rows, and between rows and the strips between them."""
        last = max(self.rows)
        for row, numbers in self.rows.items():
            top = row * self.step_y
            if row < last or self.layout.framed:
                span = self._span(row, row + 1)
                yield Seam("level", top + self.high, *span, "row", numbers[0], "down")
            if self.sashed and (row or self.layout.framed):
                span = self._span(row - 1, row)
                yield Seam("level", top, *span, "above", numbers[0], "up")

    def edges(self) -> Iterator[Seam]:
        """Yield the seams to triangles beyond the sashing, corner triangles and outer strips."""
        if self.layout.on_point:
            yield from self._corner_edges()
            if self.sashed:
                yield from self._row_ends()
        elif self.sashed and self.layout.framed and not self.posts:
            end = (max(self.rows) + 1) * self.step_y - self.strip
            far = self.layout.columns * self.step_x - self.strip
            for number, x, way in (
                (0, 0, WAYS["upright"][1]),
                (self.rows[0][-1], far, WAYS["upright"][0]),
            ):
                yield Seam("upright", x, 0, end, "edge", number, way, to=f"side strip {way}")
        if self.layout.offset and self.sashed:
            yield from self._half_blocks()

    def _half_blocks(self) -> Iterator[Seam]:
        """Yield the seams between half blocks at the ends of rows and the strips beside them."""
        for row, numbers in self.rows.items():
            if row % 2:
                first, last = (self._corner(self.spots[number]) for number in
                               (numbers[0], numbers[-1]))  # fmt: skip
                for number, x, y, way, side in (
                    (numbers[0], first[0] - self.strip, first[1], WAYS["upright"][0], "left"),
                    (numbers[-1], last[0] + self.step_x, last[1], WAYS["upright"][1], "right"),
                ):
                    to = f"half block at the {side}"
                    yield Seam("upright", x, y, y + self.high, "edge", number, way, to=to)

    def _corner_edges(self) -> Iterator[Seam]:
        """Yield the seams of the corner triangles above the first row and below the last."""
        first, last = self.rows[0][0], self.rows[max(self.rows)][0]
        out = 0 if self.layout.half_posts else self.strip
        for number, way, to in ((first, "up", "above"), (last, "down", "below")):
            spot = self.spots[number]
            x, y = self._corner(spot)
            at = y - self.strip if way == "up" else y + self.high + self.strip
            span = x - out, x + self.wide + out
            toward = WAYS["level"][0 if way == "down" else 1]
            yield Seam("level", at, *span, "edge", number, toward, to=f"corner triangle {to}")

    def _row_ends(self) -> Iterator[Seam]:
        """Yield the seams between the outer strips of a row and the triangles beyond them.

        A side triangle's leg runs along a strip and one post, a corner triangle's along both; where
        the posts are halved there, along the strip alone.
        """
        for row, numbers in self.rows.items():
            for number, to, way in ((numbers[0], -1, "right"), (numbers[-1], 1, "left")):
                column = self.spots[number].column + to
                x = column * self.step_x + (self.wide if to < 0 else 0)
                over = 0 if self.layout.half_posts else self.strip
                start = row * self.step_y - (0 if (row - 1, column) in self.at else over)
                post = over if (row + 1, column) not in self.at else 0
                end = row * self.step_y + self.high + post
                kind = "corner triangle" if self._is_corner(row, column) else "triangle"
                side = "left" if to < 0 else "right"
                toward = WAYS["upright"][0 if way == "right" else 1]
                yield Seam(
                    "upright", x, start, end, "edge", number, toward, to=f"{kind} at the {side}"
                )

    def _is_corner(self, row: int, column: int) -> bool:
        """Say whether a corner triangle lies at the end of a row; a side one touches two blocks."""
        return (row - 1, column) not in self.at and (row + 1, column) not in self.at

    def _span(self, above: int, below: int) -> tuple[int, int]:
        """Return from where to where two rows reach, with the strips round them."""
        columns = [
            self.spots[number].column for row in (above, below) for number in self.rows.get(row, ())
        ]
        # Without posts only the outer strips at the top and bottom reach across those at the sides.
        round_all = self.posts or above not in self.rows or below not in self.rows
        out = self.strip if self.layout.framed and round_all else 0
        if self.layout.offset:
            return -out, self.layout.columns * self.step_x - self.strip + out
        return min(columns) * self.step_x - out, max(columns) * self.step_x + self.wide + out
