"""The block with the squares in hand and the seam really sewn."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from catalog.cutting.adapted.unit_cuts import AdaptedUnit, adapt_unit
from catalog.cutting.quilt import Quilt
from catalog.cutting.quilt_units import uses_of
from catalog.cutting.units.surd import ZERO, Surd
from catalog.errors import UsageError
from catalog.lengths import EIGHTH, SIXTY_FOURTH, show_length

MAX_MARKS_DOWN: Final = 48
"""Marks of the ruler by which a block of several is made smaller so that all are trimmed to marks;
6 in by eighths, half of the usual 12 in block (choice of ours)."""


@dataclass(frozen=True)
class AdaptedBlock:
    """The block as it is really sewn."""

    cell: Fraction
    """Finished side of a cell of its grid (of several blocks the first one's), inches."""
    finished: Fraction
    """Width of a block, inches."""
    by_block: tuple[tuple[AdaptedUnit, ...], ...]
    """The units of each of the quilt's blocks in turn."""
    largest: Fraction
    """Width of a finished block, inches, that the squares could give at most, on the ruler."""
    trims_as_written: bool
    """Whether the units are trimmed as written."""
    asked: bool = False
    """Whether it is finished as was asked for, so that it falls short of nothing."""

    @property
    def units(self) -> tuple[AdaptedUnit, ...]:
        """The units of all blocks in turn."""
        return tuple(unit for units in self.by_block for unit in units)


def adapt_block(
    quilt: Quilt,
    square: Fraction | None,
    seam: Fraction,
    *,
    mark: Fraction = EIGHTH,
    finished: Fraction | None = None,
) -> AdaptedBlock:
    """Adapt a block to squares and seam.

    Where the squares reach the written trim sizes at this seam, those stay (the block then finishes
    larger or smaller by what the seam differs); else the block becomes the largest that all units
    reach, trimmed to a mark of the ruler. Of several blocks the first keeps its sizes and the
    others become as large as it does.

    Parameters
    ----------
    quilt : Quilt
    square : Fraction or None
        Side of the squares in hand, inches; None for the squares that the pattern asks for.
    seam, mark : Fraction
        Inches.
    finished : Fraction, optional
        The finished block that is wanted instead, inches.

    Raises
    ------
    UsageError
        The squares give no such block; the message says the nearest that they do give.
    """
    most = _largest_block(quilt, square, seam, mark)
    top = quilt.finished_block if most is None else _on_marks(quilt, most, seam, mark)
    keep = quilt.finished_block + 2 * (quilt.seam - seam) / quilt.block.smallest
    width = keep if most is None or most >= keep else top
    if finished is not None:
        width = finished
        if most is not None and most < width:
            raise UsageError(
                f"blocks of {_show(finished)} can't be had from squares of {_show(square)}",
                f"the nearest that can is {_show(max(top, Fraction(0)))}",
            )
    if width <= 0:
        raise UsageError(
            f"of squares of {_show(square)} nothing would show in this block",
            f"give larger squares with --square; it was written for {_written_squares(quilt)}",
        )
    written = width == keep and finished is None
    by_block = tuple(
        tuple(
            adapt_unit(quilt, unit, width / block.across, square, seam, mark, written=written)
            for unit in block.units
        )
        for block in quilt.blocks
    )
    cell, asked = width / quilt.block.across, finished is not None
    return AdaptedBlock(cell, width, by_block, max(top, width), written, asked)


def _on_marks(quilt: Quilt, most: Surd, seam: Fraction, mark: Fraction) -> Fraction:
    """Return the widest block up to a bound whose smallest units are trimmed to marks of the ruler.

    Where no width within `MAX_MARKS_DOWN` marks puts those of all blocks on marks, it is the widest
    that puts those of one there, and no wider than the others allow.
    """
    shares = [block.smallest for block in quilt.blocks]
    tops = [((most * share + 2 * seam).down_to(mark) - 2 * seam) / share for share in shares]
    for steps in range(MAX_MARKS_DOWN):
        width = tops[0] - steps * mark / shares[0]
        if width > 0 and not any((width * share + 2 * seam) % mark for share in shares):
            return width
    return min(tops)


def _largest_block(
    quilt: Quilt, square: Fraction | None, seam: Fraction, mark: Fraction
) -> Surd | None:
    """Return the widest finished block that the squares give; None where they set no bound."""
    if square is None:
        return None
    found = []
    for kind in quilt.kinds:
        if kind.source == "bundle":
            for method, piece, share in uses_of(quilt, kind, Fraction(1)):
                room = method.most_made_up(mark) if piece is not method.main else ZERO
                found.append(piece.width.finished_at(square - room, seam) / share)
    return min(found, default=None)


def _written_squares(quilt: Quilt) -> str:
    sizes = sorted({kind.size for kind in quilt.kinds if kind.source == "bundle"})
    return " and ".join(_show(size) for size in sizes)


def _show(length: Fraction | None) -> str:
    return show_length(length or Fraction(0), step=SIXTY_FOURTH)
