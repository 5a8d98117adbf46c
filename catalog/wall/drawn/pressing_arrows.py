"""Which way each seam is pressed, as arrows on the quilt."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from catalog.cutting.plans import WallPlan
from catalog.cutting.quilt import Quilt
from catalog.cutting.quilt_sizes.block_places import Place, places
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.wall.pressing import pressed
from catalog.wall.quilt_seams import LaidBlock, Seam, SeamGrid, grid_of

TURNS: Final[Mapping[str, int]] = {"up": 0, "right": 90, "down": 180, "left": 270}
"""Degrees clockwise from up, by the way that a seam is pressed."""


@dataclass(frozen=True)
class PressingArrow:
    """The way that a seam is pressed, at a point of it."""

    x: float
    """From the quilt's left edge, inches."""
    y: float
    turn: float
    """Degrees clockwise from up."""
    long: float
    """Inches of the seam that it speaks for."""


def pressing_arrows(quilt: Quilt, layout: Layout, wall: WallPlan) -> tuple[PressingArrow, ...]:
    """Return arrows for every seam of a quilt's middle; long seams have one at each block.

    Parameters
    ----------
    quilt : Quilt
    layout : Layout
        With its finished sizes.
    wall : WallPlan
        How blocks hang turned.
    """
    spots = places(layout)
    laid = [LaidBlock(quilt.blocks[block.kind], block.turn) for block in wall.blocks]
    scale = _GridScale(layout, spots, grid_of(laid, layout))
    return tuple(
        arrow
        for seam in pressed(laid, layout, spots)
        for arrow in scale.arrows(seam, spots[seam.place])
    )


class _GridScale:
    """From the cells that seams are counted in to inches of the quilt."""

    def __init__(self, layout: Layout, spots: tuple[Place, ...], grid: SeamGrid) -> None:
        self.layout, self.grid = layout, grid
        self.strip = float(layout.sashing)
        self.block, self.tall = float(layout.block), float(layout.tall)
        across, down = (float(side) for side in layout.inset)
        first = spots[0]
        self.slant = math.radians(45.0 if layout.on_point else 0.0)
        self.at = across + first.x, down + first.y
        self.own = (
            first.column * (self.block + self.strip) + self.block / 2,
            first.row * (self.tall + self.strip) + self.tall / 2,
        )

    def arrows(self, seam: Seam, spot: Place) -> Iterator[PressingArrow]:
        """Yield the arrows of a seam that is in or beside the block at a place."""
        shifted = self.layout.offset and spot.row % 2 == 1
        upright = seam.run == "upright"
        moved = shifted and (upright or seam.part == "inside")
        if upright:
            start, end, at = (
                self._down(seam.start),
                self._down(seam.end),
                self._across(seam.at, moved),
            )
        else:
            start, end = self._across(seam.start, moved), self._across(seam.end, moved)
            at = self._down(seam.at)
        step = (self.tall if upright else self.block) + self.strip
        parts = max(1, round((end - start) / step))
        turn = TURNS[seam.way or seam.first] + math.degrees(self.slant)
        for part in range(parts):
            middle = start + (end - start) * (part + 0.5) / parts
            x, y = self._in_quilt(*((at, middle) if upright else (middle, at)))
            yield PressingArrow(x, y, turn % 360, (end - start) / parts)

    def _across(self, cells: int, moved: bool) -> float:
        """Return inches from the left of the first column to so many cells."""
        step = self.grid.wide + self.grid.strip
        shift = step // 2 if moved else 0
        inches = self._inches(cells - shift, self.grid.wide, self.block)
        return inches + ((self.block + self.strip) / 2 if moved else 0.0)

    def _down(self, cells: int) -> float:
        return self._inches(cells, self.grid.high, self.tall)

    def _inches(self, cells: int, in_block: int, side: float) -> float:
        blocks, rest = divmod(cells, in_block + self.grid.strip)
        beyond = max(rest - in_block, 0) * self.strip / max(self.grid.strip, 1)
        return blocks * (side + self.strip) + min(rest, in_block) * side / in_block + beyond

    def _in_quilt(self, x: float, y: float) -> tuple[float, float]:
        """Return a point of the rows' own grid in the quilt."""
        x, y = x - self.own[0], y - self.own[1]
        cos, sin = math.cos(self.slant), math.sin(self.slant)
        return self.at[0] + x * cos - y * sin, self.at[1] + x * sin + y * cos
