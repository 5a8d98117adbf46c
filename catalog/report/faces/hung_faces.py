"""Blocks to faces: where they lie is told once for each kind of block, what fills them for each."""

from __future__ import annotations

from collections import Counter

from catalog.cutting.laid_faces.block_parts import BlockPart, block_parts
from catalog.cutting.laid_faces.laid_face import Face, Point, slant_of
from catalog.cutting.plans import WallBlock
from catalog.cutting.quilt import Block, Patch, Quilt
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.quilt_units import faces_of, label_of
from catalog.report.faces.face_values import WANTS, Filling, HungBlock


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
    return tuple(_face(part, step, (wide, tall)) for part in block_parts(block))


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
    for number, part in enumerate(block_parts(block)):
        patch, label = part.patch, ""
        if patch in squares:
            label = label_of(drawn[patch], shown[patch], squares[patch])
        drawn[patch] += 1
        fillings.append(_filling(quilt, patch, label))
        upright = label in hung.one_way and label not in hung.on_side
        if label and upright and -hung.turn % 360 != part.cell.turn:
            turns[number] = -hung.turn % 360
    across, down = (float(side) for side in layout.inset)
    middle = (across + hung.x, down + hung.y)
    turn = hung.turn + slant_of(layout)
    return HungBlock(hung.place, hung.kind, middle, turn, tuple(fillings), turns)


def _face(part: BlockPart, step: Point, side: Point) -> Face:
    cell = part.cell
    left, top = cell.column * step[0] - side[0] / 2, cell.row * step[1] - side[1] / 2
    wide, high = cell.wide * step[0], cell.high * step[1]
    points = tuple((x * step[0] - side[0] / 2, y * step[1] - side[1] / 2) for x, y in part.corners)
    return Face(points, (left + wide / 2, top + high / 2), (wide, high), float(cell.turn))


def _filling(quilt: Quilt, patch: Patch, label: str) -> Filling:
    if label:
        return Filling(square=label)
    kind = quilt.kind(patch.kind)
    return Filling(cloth=kind.cut_from) if kind.source == "yardage" else WANTS
