"""Values that a drawing's stages pass on, and what comes out: a proposal with its doubts."""

from __future__ import annotations

from dataclasses import dataclass

from catalog.pattern.blocks.coloured_block import ColouredBlock


@dataclass(frozen=True)
class DrawingProposal:
    """A block as a drawing seems to show it, to be confirmed by who drew or took it."""

    drawn: ColouredBlock
    certainties: tuple[float, ...]
    """Of each cell of the block in its order, 0 to 1: that it is this unit, turned so, there."""
    certainty: float
    """Of the whole, 0 to 1."""
    looks: tuple[str, ...]
    """For each of the block's colours what it looks like in the drawing, as #rrggbb."""
    corners: tuple[tuple[float, float], ...]
    """Of the block in the picture, px, clockwise from the upper left."""
    doubts: tuple[str, ...]
    """What to look at again, in words; the weightiest first."""
