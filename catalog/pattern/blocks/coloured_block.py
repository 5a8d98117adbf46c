"""A block whose units name colours: what a drawing shows, before any size is known."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from catalog.cutting.quilt import Block
from catalog.models import Role

USUAL_BLOCK: Final = 12
"""Inches finished, about; common practice."""


@dataclass(frozen=True)
class BlockColour:
    """One colour of a block."""

    name: str
    role: Role
    """``feature`` for squares of the bundle, ``background`` for cloth that is bought."""


@dataclass(frozen=True)
class ColouredBlock:
    """A block in colours."""

    block: Block
    """Its patches name colours."""
    colours: tuple[BlockColour, ...]

    def colour(self, name: str) -> BlockColour:
        """Return a colour by its name."""
        return next(one for one in self.colours if one.name == name)

    @property
    def usual_size(self) -> Fraction:
        """Finished width, inches, at which cells are whole inches and a block is about a foot."""
        across = self.block.across
        return Fraction(across * max(1, round(USUAL_BLOCK / across)))


def grid_lines(block: Block) -> tuple[str, ...]:
    """Write a block's grid as pattern files have it."""
    rows = [["."] * block.across for _ in range(block.down)]
    for cell in block.cells:
        turn = str(cell.turn) if cell.turn else ""
        rows[cell.row][cell.column] = f"{block.units[cell.unit].mark}{turn}"
    return tuple(" ".join(row) for row in rows)
