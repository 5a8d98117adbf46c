"""Where in a block a square goes, in words."""

from __future__ import annotations

from collections.abc import Sequence

from catalog.cutting.quilt import Block, Cell, Patch
from catalog.cutting.quilt_units import faces_of
from catalog.cutting.unit_faces import middle, names_of, turned
from catalog.phrases import joined


def side_words(block: Block, patch: Patch, others: tuple[Patch, ...], turn: int) -> str:
    """Say where a patch lies in a block that is turned.

    Parameters
    ----------
    block : Block
    patch : Patch
    others : tuple of Patch
        From which it is to be told; if its units lie where theirs do, the parts of the units tell.
    turn : int
        Degrees clockwise of the block as it hangs.
    """
    own, theirs = _cells(block, patch, turn), set[str]()
    for other in others:
        theirs |= set(_cells(block, other, turn))
    names = own if not theirs & set(own) else _faces(block, patch, turn)
    return joined(names)


def pair_words(
    block: Block, squares: Sequence[tuple[Patch, str]], darker: str, lighter: str, turn: int
) -> tuple[str, str]:
    """Say where the darker and the lighter square of a block go, as it hangs.

    Parameters
    ----------
    block : Block
    squares : sequence of (Patch, str)
        The label of each patch's square.
    darker, lighter : str
        Labels; both may be pieces of one square.
    turn : int
        Degrees clockwise.

    Returns
    -------
    tuple of str
        Empty texts where the block has no such pair.
    """
    dark = next((patch for patch, label in squares if darker and label == darker), None)
    light = next(
        (patch for patch, label in squares if lighter and label == lighter and patch != dark), None
    )
    if not dark or not light:
        return "", ""
    return side_words(block, dark, (light,), turn), side_words(block, light, (dark,), turn)


def _cells(block: Block, patch: Patch, turn: int) -> list[str]:
    own = [cell for cell, other in block.patches() if other == patch]
    return names_of([turned(in_block(block, cell, (0.5, 0.5)), turn) for cell in own])


def _faces(block: Block, patch: Patch, turn: int) -> list[str]:
    middles = [in_block(block, cell, middle(face)) for cell, _, _, face in faces_of(block, patch)]
    return names_of([turned(point, turn) for point in middles])


def in_block(block: Block, cell: Cell, point: tuple[float, float]) -> tuple[float, float]:
    """Return a unit's point, in shares of the unit, in shares of the block."""
    x, y = turned(point, cell.turn)
    return ((cell.column + x * cell.wide) / block.across, (cell.row + y * cell.high) / block.down)
