"""A plain grid on which sets alone hang."""

from __future__ import annotations

import math
from fractions import Fraction

from catalog.cutting.quilt import Block, BlockUnit, Cell, Patch, PieceKind, Quilt
from catalog.cutting.quilt_sizes.quilt_layout import Layout


def quilt_of_sets(number: int, size: int, need: str, square: Fraction) -> tuple[Quilt, Layout]:
    """Return a plain grid on which sets alone hang, each as a patch of its squares.

    Parameters
    ----------
    number : int
        Sets, 1 or more.
    size : int
        Squares in a set, 2 to 4; the darkest at the upper left, in sets of two and three again at
        the lower right.
    need : str
        Name of the need that the sets serve.
    square : Fraction
        Side of a square, inches.
    """
    grid = ((1, 2), (2, 1)) if size == 2 else ((1, 2), (3, 1 if size == 3 else 4))
    kind = PieceKind(need, "feature", square, size, size, "bundle", (need,))
    units = tuple(
        BlockUnit(letter, "square", None, (Patch(need, which),))
        for which, letter in enumerate("ABCD"[:size], 1)
    )
    cells = tuple(Cell(grid[r][c] - 1, r, c, 1, 1) for r in range(2) for c in range(2))
    columns = math.isqrt(number - 1) + 1
    rows = -(-number // columns)
    quilt = Quilt(rows, columns, 2 * square, Block(2, units, cells), (kind,))
    return quilt, Layout(rows, columns, 2 * square, sashing=square / 4, outer=True)
