"""Where in a block each piece of cloth goes, in words, whatever the unit."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from catalog.quilt import Block, Cell, Patch
from catalog.quilt_units import faces_of
from catalog.unit_faces import FACES, Polygon, middle, turned
from catalog.wall.sides import in_block, joined, names_of

Scraps = Sequence[tuple[Patch, tuple[str, ...]]]

_PARTS: Final[dict[str, tuple[str, ...]]] = {
    "square": ("",),
    "rectangle": ("",),
    "flying-geese": ("large triangle", "sky"),
    "nine-patch": ("corners and middle", "sides"),
    **dict.fromkeys(
        (
            "square-in-a-square",
            "square-in-a-square-triangles",
            "square-in-a-square-quarters",
            "flipped-corners",
            "octagon",
        ),
        ("middle", "corners"),
    ),
}
"""What the parts of a unit are called; those of others are told by where they lie."""
_SHAPES: Final = {
    "half-square-triangle": "half",
    "quarter-square-triangle": "quarters",
    "four-patch": "squares",
}


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
        Label and places, such as ``("R1C2", "upper left (sky) and lower right (sky)")``.
    """
    told: dict[str, list[str]] = {}
    for patch, label in squares:
        told.setdefault(label, []).extend(_places(block, patch, turn))
    for patch, labels in scraps:
        for label in dict.fromkeys(filter(None, labels)):
            own = {place for place, other in enumerate(labels) if other == label}
            told.setdefault(label, []).extend(_places(block, patch, turn, own, len(labels)))
    return tuple((label, joined(list(dict.fromkeys(places)))) for label, places in told.items())


def _places(
    block: Block, patch: Patch, turn: int, own: set[int] | None = None, pieces: int = 1
) -> list[str]:
    """Return the places of a patch, or of some of its pieces."""
    faces = faces_of(block, patch)
    shown: dict[Cell, list[Polygon]] = {}
    whole: dict[Cell, int] = {}
    for place, (cell, _, _, polygon) in enumerate(faces):
        whole[cell] = whole.get(cell, 0) + 1
        if own is None or place * pieces // len(faces) in own:
            shown.setdefault(cell, []).append(polygon)
    parts = {cell: (unit, part) for cell, unit, part, _ in faces}
    return [
        _place(block, cell, *parts[cell], polygons, turn, whole=len(polygons) == whole[cell])
        for cell, polygons in shown.items()
    ]


def _place(
    block: Block,
    cell: Cell,
    unit: str,
    part: int,
    polygons: Sequence[Polygon],
    turn: int,
    *,
    whole: bool,
) -> str:
    """Name a cell as the block hangs, and the part of its unit where it has several."""
    words = _PARTS.get(unit, ())[part] if unit in _PARTS and whole else ""
    if not words and len(FACES[unit]) > 1:
        points = [turned(turned(middle(one), cell.turn), turn) for one in polygons]
        shape = _SHAPES.get(unit, "part") if whole else "part"
        words = f"{joined(names_of(points))} {shape}"
    name = _cell_name(block, cell, turn)
    return f"{name} ({words})" if name and words else name or words or "all of it"


def _cell_name(block: Block, cell: Cell, turn: int) -> str:
    """Name a cell by its side of the block, or by row and place where several lie there."""
    if len(block.cells) == 1:
        return ""
    names = [_side(block, one, turn) for one in block.cells]
    own = names[block.cells.index(cell)]
    if names.count(own) == 1:
        return own
    corners = [turned(in_block(block, cell, corner), turn) for corner in ((0.0, 0.0), (1.0, 1.0))]
    row = round(min(y for _, y in corners) * block.across) + 1
    column = round(min(x for x, _ in corners) * block.across) + 1
    return f"row {row} place {column}"


def _side(block: Block, cell: Cell, turn: int) -> str:
    return names_of([turned(in_block(block, cell, (0.5, 0.5)), turn)])[0]
