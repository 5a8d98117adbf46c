"""Lengths of units as people write them: inches by marks, centimetres by decimals."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Final

from catalog.lengths import (
    CENTIMETRES_PER_INCH,
    MILLIMETRE,
    SIXTEENTH,
    round_to,
    show_centimetres,
    show_length,
)

if TYPE_CHECKING:
    from catalog.cutting.units.sized_unit import SizedPiece
    from catalog.cutting.units.surd import Surd

MIN_MARK: Final = Fraction(1, 64)
"""Inches; a length on no such mark is written to the nearest sixteenth."""


def shown(length: Fraction | Surd, cm: bool) -> str:
    """Write a length as people do: inches without their unit, or centimetres with it."""
    from catalog.cutting.units.surd import Surd

    exact = Surd.of(length)
    if cm:
        near = exact.rational if _is_decimal(exact) else exact.nearest_to(MILLIMETRE)
        return show_centimetres(near, places=None)
    on_mark = not exact.root and exact.rational % MIN_MARK == 0
    near = exact.rational if on_mark else exact.nearest_to(SIXTEENTH)
    return show_length(near, step=None, mark=False)


def _is_decimal(exact: Surd) -> bool:
    """Say whether a length has so few decimals in centimetres that they can be written."""
    return not exact.root and exact.rational * CENTIMETRES_PER_INCH * 10**5 % 1 == 0


def shown_sides(width: Fraction | Surd, height: Fraction | Surd, cm: bool) -> str:
    """Write width x height, or the one side of a square."""
    return shown(width, cm) if width == height else f"{shown(width, cm)} x {shown(height, cm)}"


def cut_sides(cut: SizedPiece, cm: bool) -> str:
    """Write the sides of a piece.

    Where several share a square, the height that each has may lie on no mark; it is then written
    as the sixteenth (the millimetre) below, so that all of them fit.
    """
    from catalog.cutting.units.surd import Surd

    height = Surd.of(cut.height)
    on_mark = _is_decimal(height) if cm else cut.height % MIN_MARK == 0
    step = MILLIMETRE if cm else SIXTEENTH
    return shown_sides(cut.width, cut.height if on_mark else height.down_to(step), cm)


def with_unit(length: Fraction | Surd, cm: bool) -> str:
    """Write a length with its unit, in decimals too where it lies on no mark."""
    from catalog.cutting.units.surd import Surd

    exact = Surd.of(length)
    if cm and _is_decimal(exact):
        return shown(exact, cm)
    if not cm and not exact.root and exact.rational % MIN_MARK == 0:
        return f"{shown(exact, cm)} in"
    side = "over" if exact > exact.nearest_to(MILLIMETRE if cm else SIXTEENTH) else "under"
    number = float(exact * CENTIMETRES_PER_INCH if cm else exact)
    return f"a little {side} {shown(exact, cm)}{'' if cm else ' in'} ({number:.3f})"


def sides_with_unit(width: Fraction, height: Fraction, cm: bool) -> str:
    """Write width x height with their unit, or the one side of a square."""
    if width == height:
        return with_unit(width, cm)
    if cm:
        width, height = _hundredths(width), _hundredths(height)
    return shown_sides(width, height, cm) + ("" if cm else " in")


def _hundredths(length: Fraction) -> Fraction:
    """Return a length to a hundredth of a centimetre where it has more than three decimals."""
    few = length * CENTIMETRES_PER_INCH * 10**3 % 1 == 0
    return length if few else round_to(length, MILLIMETRE / 10)


def in_decimals(length: Fraction | Surd, cm: bool) -> str:
    """Write a length to a thousandth, with its unit."""
    if cm:
        return f"{float(length * CENTIMETRES_PER_INCH):.3f} cm"
    return f"{float(length):.3f} in"
