"""The seams of a quilt's middle: in the blocks, between them, round strips, posts and triangles.

All lie on a grid of cells: a block's own, with one cell for sashing. On point the grid is the
slanting one that rows follow.
"""

from __future__ import annotations

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


def turned_seam(seam: BlockSeam, across: int, turn: int) -> BlockSeam:
    """Return a seam of a block that is turned clockwise: (x, y) goes to (across - y, x)."""
    for _ in range(turn // 90 % 4):
        if seam.run == "upright":
            seam = BlockSeam("level", seam.at, across - seam.end, across - seam.start)
        else:
            seam = BlockSeam("upright", across - seam.at, seam.start, seam.end)
    return seam


def seams_of(
    block: Block, layout: Layout, spots: Sequence[Place], turns: Sequence[int]
) -> list[Seam]:
    """Return every seam between the pieces of a quilt's middle, as `pressing.pressed` needs them.

    Where strips lie between blocks without posts, long ones run across, and outer ones go round
    like a border, the sides first.
    """
    grid = _Grid(block, layout, spots, turns)
    return [*grid.inside(), *grid.sides(), *grid.strips(), *grid.joins(), *grid.edges()]


class _Grid:
    """The quilt on its grid."""

    def __init__(
        self, block: Block, layout: Layout, spots: Sequence[Place], turns: Sequence[int]
    ) -> None:
        self.block, self.layout, self.spots, self.turns = block, layout, spots, turns
        self.sashed = bool(layout.sashing)
        self.posts = self.sashed and layout.posts
        self.across = block.across
        self.step = block.across + (1 if self.sashed else 0)
        self.at = {(spot.row, spot.column): number for number, spot in enumerate(spots)}
        self.rows: dict[int, list[int]] = {}
        for number, spot in enumerate(spots):
            self.rows.setdefault(spot.row, []).append(number)

    def inside(self) -> Iterator[Seam]:
        """Yield the seams of the blocks."""
        inner = sewing_order(self.block) or ()
        for number, (spot, turn) in enumerate(zip(self.spots, self.turns, strict=True)):
            x, y = spot.column * self.step, spot.row * self.step
            for one in inner:
                seam = turned_seam(one, self.across, turn)
                shift, along = (x, y) if seam.run == "upright" else (y, x)
                odd = (along + seam.start) // max(1, seam.end - seam.start) % 2
                at, start, end = shift + seam.at, along + seam.start, along + seam.end
                yield Seam(seam.run, at, start, end, "inside", number, WAYS[seam.run][odd])

    def sides(self) -> Iterator[Seam]:
        """Yield the seams at the left and right of each block, to a block, strip or triangle."""
        for number, spot in enumerate(self.spots):
            x, y = spot.column * self.step, spot.row * self.step
            span = y, y + self.across
            before, after = ((spot.row, spot.column + to) in self.at for to in (-1, 1))
            if self.sashed:
                long = self.layout.framed and not self.posts
                if before or (self.layout.framed and not long):
                    yield Seam("upright", x, *span, "before", number, "left")
                if after or (self.layout.framed and not long):
                    yield Seam("upright", x + self.across, *span, "after", number, "right")
                continue
            way = WAYS["upright"][spot.row % 2]
            if after or self.layout.on_point:
                corner = not after and self._is_corner(spot.row, spot.column + 1)
                first: Way = "right" if corner else way
                yield Seam("upright", x + self.across, *span, "after", number, first)
            if not before and self.layout.on_point:
                corner = self._is_corner(spot.row, spot.column - 1)
                yield Seam("upright", x, *span, "before", number, "left" if corner else way)

    def strips(self) -> Iterator[Seam]:
        """Yield the seams between the posts and the strips of the rows of sashing."""
        if not self.posts:
            return
        for number, spot in enumerate(self.spots):
            x = spot.column * self.step
            above, below = ((spot.row + to, spot.column) in self.at for to in (-1, 1))
            before, after = ((spot.row, spot.column + to) in self.at for to in (-1, 1))
            gaps: list[tuple[int, Part]] = []
            if below or self.layout.framed:
                gaps.append((spot.row + 1, "strip below"))
            if not above and self.layout.framed:
                gaps.append((spot.row, "strip above"))
            for gap, part in gaps:
                span = gap * self.step - 1, gap * self.step
                if before or self.layout.framed:
                    yield Seam("upright", x, *span, part, number, "right")
                if after or self.layout.framed:
                    yield Seam("upright", x + self.across, *span, part, number, "left")

    def joins(self) -> Iterator[Seam]:
        """Yield the seams between rows, and between rows and the strips between them."""
        last = max(self.rows)
        for row, numbers in self.rows.items():
            top = row * self.step
            if row < last or self.layout.framed:
                span = self._span(row, row + 1)
                yield Seam("level", top + self.across, *span, "row", numbers[0], "down")
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
            end = (max(self.rows) + 1) * self.step - 1
            for number, x, way in (
                (0, 0, WAYS["upright"][1]),
                (self.rows[0][-1], self.layout.columns * self.step - 1, WAYS["upright"][0]),
            ):
                yield Seam("upright", x, 0, end, "edge", number, way, to=f"side strip {way}")

    def _corner_edges(self) -> Iterator[Seam]:
        """Yield the seams of the corner triangles above the first row and below the last."""
        first, last = self.rows[0][0], self.rows[max(self.rows)][0]
        out = 1 if self.sashed else 0
        for number, way, to in ((first, "up", "above"), (last, "down", "below")):
            spot = self.spots[number]
            x, y = spot.column * self.step, spot.row * self.step
            at = y - out if way == "up" else y + self.across + out
            span = x - out, x + self.across + out
            toward = WAYS["level"][0 if way == "down" else 1]
            yield Seam("level", at, *span, "edge", number, toward, to=f"corner triangle {to}")

    def _row_ends(self) -> Iterator[Seam]:
        """Yield the seams between the outer strips of a row and the triangles beyond them.

        A side triangle's leg runs along a strip and one post, a corner triangle's along both.
        """
        for row, numbers in self.rows.items():
            for number, to, way in ((numbers[0], -1, "right"), (numbers[-1], 1, "left")):
                column = self.spots[number].column + to
                x = column * self.step + (self.across if to < 0 else 0)
                start = row * self.step - (0 if (row - 1, column) in self.at else 1)
                end = (row + 1) * self.step - (1 if (row + 1, column) in self.at else 0)
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
        out = 1 if self.layout.framed and round_all else 0
        return min(columns) * self.step - out, max(columns) * self.step + self.across + out
