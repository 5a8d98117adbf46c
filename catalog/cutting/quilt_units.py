"""The units of a block as `catalog.cutting.units` makes them, and the squares that they take."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from catalog.cutting.quilt import Block, BlockUnit, Cell, Patch, PieceKind, Quilt, QuiltBorder
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.units.cutting_method import Method, UnitPiece
from catalog.cutting.units.face_shapes import Polygon
from catalog.cutting.units.unit_kind import UnitKind
from catalog.cutting.units.units_by_name import find_unit, way_of


def kind_of(unit: BlockUnit) -> UnitKind:
    """Return all that is known of a block's unit, in the shape of its cells."""
    return find_unit(unit.unit).in_shape(unit.wide, unit.high)


def method_of(unit: BlockUnit) -> Method:
    """Return the way that a block's unit is made, in the shape of its cells."""
    return way_of(kind_of(unit), unit.at_a_time)


def pieces_of(unit: BlockUnit, method: Method) -> tuple[UnitPiece, ...]:
    """Return for each part of a unit the piece that it is cut as."""
    return tuple(method.pieces[part.piece] for part in kind_of(unit).parts)


def uses_of(
    quilt: Quilt, kind: PieceKind, width: Fraction
) -> Iterator[tuple[Method, UnitPiece, Fraction]]:
    """Yield each use of a kind of piece in the blocks, with the unit's finished longer side.

    Parameters
    ----------
    quilt : Quilt
    kind : PieceKind
    width : Fraction
        Finished width of a block, inches.
    """
    for block in quilt.blocks:
        for unit in block.units:
            method = method_of(unit)
            for patch, piece in zip(unit.patches, pieces_of(unit, method), strict=True):
                if patch.kind == kind.name:
                    yield method, piece, width / block.across * max(unit.wide, unit.high)


def piece_counts(unit: BlockUnit, method: Method) -> tuple[Fraction, ...]:
    """Return how many pieces of each part one unit takes."""
    return kind_of(unit).piece_counts(method)


def squares_per_block(block: Block) -> dict[Patch, Fraction]:
    """Return how many squares a block takes by its units, of each that the units name."""
    taken: dict[Patch, Fraction] = {}
    for cell in block.cells:
        unit = block.units[cell.unit]
        for patch, number in zip(unit.patches, piece_counts(unit, method_of(unit)), strict=True):
            taken[patch] = taken.get(patch, Fraction(0)) + number
    return taken


def label_of(place: int, faces: int, labels: Sequence[str]) -> str:
    """Return the label of one of the faces that a patch shows in its block, from 0."""
    return labels[place * len(labels) // faces]


def faces_of(block: Block, patch: Patch) -> list[tuple[Cell, str, int, Polygon]]:
    """Return what a patch shows in a block: cell, unit, part of the unit, and polygon."""
    return [
        (cell, unit.unit, number, polygon)
        for cell in block.cells
        for unit in (block.units[cell.unit],)
        for number, (other, part) in enumerate(zip(unit.patches, kind_of(unit).parts, strict=True))
        if other == patch
        for polygon in part.polygons
    ]


def units_on_sides(layout: Layout, border: QuiltBorder, number: int) -> tuple[int, int]:
    """Return how many units of a pieced border lie along its top, and along a side.

    Parameters
    ----------
    layout : Layout
        With its finished sizes.
    border : QuiltBorder
    number : int
        Which of the borders it is, from 0 inside.
    """
    wide, long = layout.middle
    for ring in layout.rounds[:number]:
        wide += 2 * (ring.sides + ring.width)
        long += 2 * (ring.ends + ring.width)
    own = layout.rounds[number]
    wide, long, width = wide + 2 * own.sides, long + 2 * own.ends, own.width
    ends = 2 * width if border.corners == "butted" else Fraction(0)
    count = round if border.spacer else int
    return count((wide + ends) / width), count(long / width)
