"""Where in a block each piece of cloth goes, in words, whatever the unit."""

from __future__ import annotations

from collections.abc import Sequence

from catalog.cutting.quilt import Block, Cell, Patch
from catalog.cutting.quilt_units import faces_of, kind_of
from catalog.cutting.unit_faces import middle, names_of, turned
from catalog.cutting.units.face_shapes import Polygon
from catalog.cutting.units.unit_kind import UnitPart
from catalog.phrases import joined
from catalog.wall.block_sides import in_block

Scraps = Sequence[tuple[Patch, tuple[str, ...]]]


def pieces_of_block(
    block: Block, squares: Sequence[tuple[Patch, str]], scraps: Scraps, turn: int
) -> tuple[tuple[str, str], ...]:
    """Say of every square that a block takes pieces of where they go.

    Parameters
    ----------
    block : Block
    squares : sequence of (Patch, str)
        The block's own squares, by label.
    scraps : sequence of (Patch, tuple of str)
        Its small pieces, a label for each piece of a patch; empty where one is wanting.
    turn : int
        Degrees clockwise of the block as it hangs.

    Returns
    -------
    tuple of (str, str)
        Label and places, such as ``("R1C2", "upper left and lower right (sky)")``.
    """
    told: dict[str, list[_Spot]] = {}
    for patch, label in squares:
        told.setdefault(label, []).extend(_spots(block, patch, turn))
    for patch, labels in scraps:
        for label in dict.fromkeys(filter(None, labels)):
            own = {place for place, other in enumerate(labels) if other == label}
            told.setdefault(label, []).extend(_spots(block, patch, turn, own, len(labels)))
    return tuple((label, _words(spots)) for label, spots in told.items())


_Spot = tuple[str, str]
"""A cell of the block, and a part of its unit; empty where there is but one."""


def _words(spots: Sequence[_Spot]) -> str:
    """Say cells in which the same part is meant together."""
    by_part: dict[str, list[str]] = {}
    for cell, part in dict.fromkeys(spots):
        by_part.setdefault(part, []).append(cell)
    told = []
    for part, cells in by_part.items():
        name = joined(cells)
        told.append(f"{name} ({part})" if name and part else name or part or "all of it")
    return " and ".join(told)


def _spots(
    block: Block, patch: Patch, turn: int, own: set[int] | None = None, pieces: int = 1
) -> list[_Spot]:
    """Return where a patch lies, or some of its pieces."""
    faces = faces_of(block, patch)
    shown: dict[Cell, list[Polygon]] = {}
    whole: dict[Cell, int] = {}
    parts: dict[Cell, set[int]] = {}
    for place, (cell, _, part, polygon) in enumerate(faces):
        whole[cell] = whole.get(cell, 0) + 1
        parts.setdefault(cell, set()).add(part)
        if own is None or place * pieces // len(faces) in own:
            shown.setdefault(cell, []).append(polygon)
    found = []
    for cell, polygons in shown.items():
        named, all_of = kind_of(block.units[cell.unit]).parts, len(polygons) == whole[cell]
        words = ""
        if not all_of or len(parts[cell]) < len(named):
            words = _part_words(named[min(parts[cell])], cell, polygons, turn, whole=all_of)
        found.append((_cell_name(block, cell, turn), words))
    return found


def _part_words(
    part: UnitPart, cell: Cell, polygons: Sequence[Polygon], turn: int, *, whole: bool
) -> str:
    """Name a part of a unit: as the trade does, or by where it lies as the block hangs."""
    if whole and part.name:
        return part.name
    points = [turned(turned(middle(one), cell.turn), turn) for one in polygons]
    return f"{joined(names_of(points))} {part.shape if whole else 'part'}"


def _cell_name(block: Block, cell: Cell, turn: int) -> str:
    """Name a cell by its side of the block, or by row and place where several lie there."""
    if len(block.cells) == 1:
        return ""
    names = [_side(block, one, turn) for one in block.cells]
    own = names[block.cells.index(cell)]
    if names.count(own) == 1:
        return own
    corners = [turned(in_block(block, cell, corner), turn) for corner in ((0.0, 0.0), (1.0, 1.0))]
    row = round(min(y for _, y in corners) * block.down) + 1
    column = round(min(x for x, _ in corners) * block.across) + 1
    return f"row {row} place {column}"


def _side(block: Block, cell: Cell, turn: int) -> str:
    return names_of([turned(in_block(block, cell, (0.5, 0.5)), turn)])[0]
