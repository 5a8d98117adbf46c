"""A block drawn in greys: its units laid out in rows, and whole."""

from __future__ import annotations

from typing import Final

from catalog.cutting.quilt import Block, Cell, Quilt
from catalog.cutting.quilt_units import kind_of
from catalog.cutting.unit_faces import turned
from catalog.report.booklet.cloth_tones import tones_of
from catalog.report.drawings.drawing import WHITE, Drawing, DrawnBox, DrawnShape, DrawnWords, Mark

GAP: Final = 1.6
"""Millimetres between units that are laid out."""
PLATE: Final = 4.2
"""Millimetres of the white on which a unit's letter stands."""


def block_drawing(quilt: Quilt, number: int, wide: float, *, apart: bool) -> Drawing:
    """Draw a block.

    Parameters
    ----------
    quilt : Quilt
    number : int
        Which of its blocks, from 0.
    wide : float
        Millimetres.
    apart : bool
        Whether its units lie apart, each with its letter, before they are sewn.
    """
    block = quilt.blocks[number]
    gap = GAP if apart else 0.0
    cell = (wide - (block.across - 1) * gap) / block.across
    marks: list[Mark] = []
    for one in block.cells:
        marks += _unit(quilt, block, one, cell, gap)
    high = block.down * cell + (block.down - 1) * gap
    how = "laid out before it is sewn" if apart else "sewn"
    return Drawing(wide, high, tuple(marks), f"The block {block.mark} {how}.")


def _unit(quilt: Quilt, block: Block, cell: Cell, side: float, gap: float) -> list[Mark]:
    tones, unit = tones_of(quilt, block), block.units[cell.unit]
    left, top = cell.column * (side + gap), cell.row * (side + gap)
    wide = cell.wide * side + (cell.wide - 1) * gap
    high = cell.high * side + (cell.high - 1) * gap
    marks: list[Mark] = []
    for patch, part in zip(unit.patches, kind_of(unit).parts, strict=True):
        for polygon in part.polygons:
            points = (turned((float(x), float(y)), cell.turn) for x, y in polygon)
            corners = tuple((left + x * wide, top + y * high) for x, y in points)
            marks.append(DrawnShape(corners, tones[patch], 0.25))
    if gap:
        x, y = left + wide / 2, top + high / 2
        plate = DrawnBox(x - PLATE / 2, y - PLATE / 2, PLATE, PLATE, WHITE, 0.1)
        marks += [plate, DrawnWords(x, y + 1.1, unit.mark, 8.0, True, "middle")]
    return marks
