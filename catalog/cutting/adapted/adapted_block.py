"""The block with the squares in hand and the seam really sewn."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from catalog.cutting.adapted.unit_cuts import AdaptedUnit, adapt_unit
from catalog.cutting.quilt import Quilt
from catalog.cutting.quilt_units import uses_of
from catalog.cutting.units.surd import ZERO, Surd
from catalog.errors import UsageError
from catalog.lengths import EIGHTH, SIXTY_FOURTH, show_length


@dataclass(frozen=True)
class AdaptedBlock:
    """The block as it is really sewn."""

    cell: Fraction
    """Finished side of a cell of its grid, inches."""
    finished: Fraction
    units: tuple[AdaptedUnit, ...]
    largest: Fraction
    """Finished block, inches, that the squares could give at most, on the ruler."""
    trims_as_written: bool
    """Whether the units are trimmed as written."""
    asked: bool = False
    """Whether it is finished as was asked for, so that it falls short of nothing."""


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
    reach, trimmed to a mark of the ruler.

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
    least = min(min(unit.wide, unit.high) for unit in quilt.block.units)
    across = quilt.block.across
    most = _largest_cell(quilt, square, seam, mark)
    top = (
        quilt.cell if most is None else ((most * least + 2 * seam).down_to(mark) - 2 * seam) / least
    )
    keep = quilt.cell + 2 * (quilt.seam - seam) / least
    cell = keep if most is None or most >= keep else top
    if finished is not None:
        cell = finished / across
        if most is not None and most < cell:
            raise UsageError(
                f"blocks of {_show(finished)} can't be had from squares of {_show(square)}",
                f"the nearest that can is {_show(max(top, Fraction(0)) * across)}",
            )
    if cell <= 0:
        raise UsageError(
            f"of squares of {_show(square)} nothing would show in this block",
            f"give larger squares with --square; it was written for {_written_squares(quilt)}",
        )
    written = cell == keep and finished is None
    units = tuple(
        adapt_unit(quilt, unit, cell, square, seam, mark, written=written)
        for unit in quilt.block.units
    )
    return AdaptedBlock(
        cell, cell * across, units, max(top, cell) * across, written, finished is not None
    )


def _largest_cell(
    quilt: Quilt, square: Fraction | None, seam: Fraction, mark: Fraction
) -> Surd | None:
    """Return the largest finished cell that the squares give; None where they set no bound."""
    if square is None:
        return None
    found = []
    for kind in quilt.kinds:
        if kind.source == "bundle":
            for method, piece, cells in uses_of(quilt, kind, Fraction(1)):
                room = method.most_made_up(mark) if piece is not method.main else ZERO
                found.append(piece.width.finished_at(square - room, seam) / cells)
    return min(found, default=None)


def _written_squares(quilt: Quilt) -> str:
    sizes = sorted({kind.size for kind in quilt.kinds if kind.source == "bundle"})
    return " and ".join(_show(size) for size in sizes)


def _show(length: Fraction | None) -> str:
    return show_length(length or Fraction(0), step=SIXTY_FOURTH)
