"""Strips across the width of the fabric, as they lie."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from catalog.cutting.layouts.cloth_layout import ClothLayout, LaidPiece, Sheet
from catalog.cutting.layouts.stacking import layers_of
from catalog.cutting.yardage.strips import Strip


def strip_layout(
    cloth: str,
    amount: str,
    strips: Sequence[Strip],
    width: Fraction,
    *,
    directional: bool = False,
    notes: tuple[str, ...] = (),
) -> ClothLayout:
    """Lay out strips, each kind once.

    Parameters
    ----------
    cloth, amount : str
        The cloth's name and what is bought of it.
    strips : sequence of Strip
        In the order of cutting, the tallest first.
    width : Fraction
        Of the cloth under the cutter, inches.
    directional : bool
        Whether the print has an up and a down, along the cloth.
    notes : tuple of str
        What is sewn end to end before it is cut to length, a line each.
    """
    sheets = tuple(_sheet(strip, width) for strip in strips)
    return ClothLayout(cloth, amount, sheets, directional, notes)


def _sheet(strip: Strip, width: Fraction) -> Sheet:
    pieces, left = [], Fraction(0)
    for cut in strip.cuts:
        for number in range(cut.count):
            column, above = divmod(number, cut.stacked)
            x, y = left + column * cut.across, above * cut.along
            pieces.append(LaidPiece(cut.piece, x, y, cut.across, cut.along))
        left += cut.columns * cut.across
    layers = layers_of(strip.copies, pieces)
    return Sheet("strip", width, strip.height, strip.copies, tuple(pieces), layers=layers)
