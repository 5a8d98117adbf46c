"""Which way each seam is pressed, so that seams that meet lie opposite ways.

Two seams meet where one ends and another goes on in the same line beyond a seam across. All seams
in one line make a chain, so pressing them to one side and the other by turns always comes out.
Seams beside sashing are pressed to the sashing, as is usual; by the same rule those of posts then
go to the strips. `quilt_seams` tells which seams there are, `pressing_words` says them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from catalog.cutting.quilt_sizes.block_places import Place
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.wall.quilt_seams import WAYS, LaidBlock, Seam, seams_of

__all__ = ["Seam", "meets", "pressed"]


def pressed(laid: Sequence[LaidBlock], layout: Layout, spots: Sequence[Place]) -> tuple[Seam, ...]:
    """Return every seam between the pieces of a quilt's middle, with its way.

    Parameters
    ----------
    laid : sequence of LaidBlock
        The block at each place, and how it is turned.
    layout : Layout
        Straight or on point, with its sashing.
    spots : sequence of Place
        As `places` gives them.
    """
    seams = sorted(seams_of(laid, layout, spots), key=lambda s: (s.run, s.at, s.start))
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
