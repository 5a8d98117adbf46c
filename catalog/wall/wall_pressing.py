"""How the seams of a whole wall are pressed, block by block."""

from __future__ import annotations

from collections.abc import Sequence

from catalog.cutting.quilt import Quilt
from catalog.cutting.quilt_sizes.block_places import places
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.wall.pressing import pressed
from catalog.wall.pressing_words import Pressing, pressing_of
from catalog.wall.quilt_seams import LaidBlock, Seam, grid_of


def pressing_of_wall(quilt: Quilt, layout: Layout, turns: Sequence[int]) -> list[Pressing]:
    """Say for each place, in the order of sewing, how the seams of its block are pressed.

    Parameters
    ----------
    quilt : Quilt
    layout : Layout
    turns : sequence of int
        Degrees clockwise by which the block at each place hangs turned.
    """
    spots = places(layout)
    laid = [LaidBlock(quilt.blocks[quilt.block_at(spot)], turn)
            for spot, turn in zip(spots, turns, strict=True)]  # fmt: skip
    by_place: dict[int, list[Seam]] = {}
    for seam in pressed(laid, layout, spots):
        by_place.setdefault(seam.place, []).append(seam)
    grid = grid_of(laid, layout)
    return [
        pressing_of(by_place.get(number, []), spot, laid[number].block, grid, offset=layout.offset)
        for number, spot in enumerate(spots)
    ]
