"""Blocks to faces: where they lie is told once for each kind of block, what fills them for each."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from catalog.cutting.plans import WallBlock
from catalog.cutting.quilt import Block, Cell, Patch, Quilt
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.quilt_units import faces_of, kind_of, label_of
from catalog.cutting.unit_faces import turned
from catalog.cutting.units.face_shapes import Polygon
from catalog.report.faces.face_values import WANTS, Face, Filling, HungBlock, Point

SLANT = 45.0
"""Degrees clockwise of blocks in a quilt on point."""


def slant_of(layout: Layout) -> float:
    """Return how far the rows of a layout are turned, degrees clockwise."""
    return SLANT if layout.on_point else 0.0


def block_faces(block: Block, layout: Layout) -> tuple[Face, ...]:
    """Return the faces of a block, from its middle, before it is turned.

    Parameters
    ----------
    block : Block
    layout : Layout
        With its finished sizes.
    """
    wide, tall = float(layout.block), float(layout.tall)
    step = wide / block.across, tall / block.down
    return tuple(_face(cell, polygon, step, (wide, tall)) for cell, _, polygon in _parts(block))


def hung_block(quilt: Quilt, layout: Layout, hung: WallBlock) -> HungBlock:
    """Return what fills the faces of the block at a place.

    Parameters
    ----------
    quilt : Quilt
    layout : Layout
    hung : WallBlock
        Where a square of it is wanting, nothing fills its faces.
    """
    block = quilt.blocks[hung.kind]
    squares: dict[Patch, tuple[str, ...]] = {patch: (label,) for patch, label in hung.squares}
    squares |= dict(hung.scraps)
    shown = {patch: len(faces_of(block, patch)) for patch in squares}
    drawn = Counter[Patch]()
    fillings, turns = [], dict[int, int]()
    for number, (cell, patch, _) in enumerate(_parts(block)):
        label = ""
        if patch in squares:
            label = label_of(drawn[patch], shown[patch], squares[patch])
        drawn[patch] += 1
        fillings.append(_filling(quilt, patch, label))
        upright = label in hung.one_way and label not in hung.on_side
        if label and upright and -hung.turn % 360 != cell.turn:
            turns[number] = -hung.turn % 360
    across, down = (float(side) for side in layout.inset)
    middle = (across + hung.x, down + hung.y)
    turn = hung.turn + slant_of(layout)
    return HungBlock(hung.place, hung.kind, middle, turn, tuple(fillings), turns)


def _parts(block: Block) -> Iterator[tuple[Cell, Patch, Polygon]]:
    """Yield every polygon of a block with its cell and what it is cut from."""
    for cell in block.cells:
        unit = block.units[cell.unit]
        for patch, part in zip(unit.patches, kind_of(unit).parts, strict=True):
            for polygon in part.polygons:
                yield cell, patch, polygon


def _face(cell: Cell, polygon: Polygon, step: Point, side: Point) -> Face:
    left, top = cell.column * step[0] - side[0] / 2, cell.row * step[1] - side[1] / 2
    wide, high = cell.wide * step[0], cell.high * step[1]
    shares = [turned((float(x), float(y)), cell.turn) for x, y in polygon]
    points = tuple((left + x * wide, top + y * high) for x, y in shares)
    return Face(points, (left + wide / 2, top + high / 2), (wide, high), float(cell.turn))


def _filling(quilt: Quilt, patch: Patch, label: str) -> Filling:
    if label:
        return Filling(square=label)
    kind = quilt.kind(patch.kind)
    return Filling(cloth=kind.cut_from) if kind.source == "yardage" else WANTS
