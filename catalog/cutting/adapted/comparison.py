"""What was written beside what it becomes, row by row."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Final

from catalog.cutting.adapted.adapted_block import AdaptedBlock, AdaptedUnit, UnitCut
from catalog.cutting.plans import ComparisonRow
from catalog.cutting.quilt import PieceKind, Quilt
from catalog.cutting.units.patchwork import squares_from_square
from catalog.cutting.units.sewn_seam import reach
from catalog.cutting.units.surd import Surd
from catalog.lengths import (
    CENTIMETRES_PER_INCH,
    EIGHTH,
    MILLIMETRE,
    SIXTEENTH,
    show_centimetres,
    show_length,
)

Pair = tuple[Fraction, Fraction]
MIN_MARK: Final = Fraction(1, 64)
"""Inches; a length on no such mark is written to the nearest sixteenth, with "about"."""
_SMALLEST_CHANGE: Final = MIN_MARK


def shown(length: Fraction, *, cm: bool, mark: bool = False) -> str:
    """Write a length as the trade does, or in centimetres."""
    if cm:
        return show_centimetres(length, places=None, mark=mark)
    if length % MIN_MARK:
        return f"about {show_length(length, step=SIXTEENTH, mark=mark)}"
    return show_length(length, step=None, mark=mark)


def shown_pair(pair: Pair, *, cm: bool) -> str:
    """Write width x length, or the one side of a square."""
    wide, long = (shown(side, cm=cm) for side in pair)
    return wide if wide == long else f"{wide} x {long}"


def cut_row(
    kind: PieceKind, cut: UnitCut, made: AdaptedBlock, square: Fraction | None, *, cm: bool
) -> ComparisonRow:
    """Return the row of a piece that is cut for the blocks."""
    yours = shown_pair((cut.width, cut.height), cm=cm)
    if cut.as_it_is:
        yours += ", as it is"
    fits, remark = True, ""
    if kind.source == "bundle" and square is not None:
        fits, remark = _fit_words(kind, cut, made, square, cm=cm)
    written = shown(kind.size, cm=cm)
    return ComparisonRow(f"cut: {kind.name}", written, yours, remark, kind.size, cut.width, fits)


def _fit_words(
    kind: PieceKind, cut: UnitCut, made: AdaptedBlock, square: Fraction, *, cm: bool
) -> tuple[bool, str]:
    of = f"a {shown(square, cm=cm, mark=True)} square"
    if not made.kept and not made.asked and kind.size > square:
        return False, f"the written cut doesn't fit {of}"
    mark = MILLIMETRE if cm else EIGHTH
    needed = cut.exact.up_to(mark)
    each = squares_from_square(square, cut.width)
    if each > 1:
        return True, f"{each} from each square"
    if needed < square:
        spare = shown(square - needed, cm=cm, mark=True)
        enough = "" if cut.width == needed else f"{shown(needed, cm=cm)} would do: "
        return True, f"{enough}{spare} to spare"
    return True, "just fits, nothing to spare"


def unit_row(
    unit: AdaptedUnit,
    written: AdaptedUnit,
    seam: Fraction,
    *,
    asked: bool,
    cm: bool,
) -> ComparisonRow:
    """Return the row of a unit: to what it is trimmed, and whether it reaches the written size.

    One that was asked for in its size is no shortfall.
    """
    trim, old = (unit.trim, unit.trim_height), (written.trim, written.trim_height)
    name = unit.unit.unit.replace("-", " ")
    what = "trim" if unit.method.trimmed else "as cut"
    remark, fits = "", True
    if unit.trim < written.trim and asked:
        remark = f"{shown(old[0] - trim[0], cm=cm, mark=True)} smaller than written, as you asked"
    elif unit.trim < written.trim and unit.method.trimmed:
        needed = reach(
            unit.method,
            unit.cuts[0].width,
            [seam],
            wanted=max(old),
            mark=MILLIMETRE if cm else EIGHTH,
        ).cut_needed
        less = shown(max(old) - max(trim), cm=cm, mark=True)
        larger = f"; cut from {shown(needed, cm=cm, mark=True)} it would reach it" if needed else ""
        remark, fits = f"{less} smaller than written{larger}", False
    elif unit.trim < written.trim:
        remark, fits = f"{shown(old[0] - trim[0], cm=cm, mark=True)} smaller than written", False
    elif unit.method.trimmed:
        spare = unit.sewn - max(trim)
        remark = "comes out just so, nothing to trim"
        if spare > 0:
            remark = f"sewn {_decimal(unit.sewn, cm=cm)}, {_decimal(spare, cm=cm)} to trim"
    return ComparisonRow(
        f"{what}: {name}",
        shown_pair(old, cm=cm),
        shown_pair(trim, cm=cm),
        remark,
        old[0],
        trim[0],
        fits,
    )


def length_rows(
    old: Mapping[str, Pair], new: Mapping[str, Pair], *, cm: bool
) -> list[ComparisonRow]:
    """Return a row for each length below the units; one that falls away has no size."""
    rows = []
    for name in dict.fromkeys((*new, *old)):
        one, two = old.get(name), new.get(name)
        rows.append(
            ComparisonRow(
                name,
                shown_pair(one, cm=cm) if one else "-",
                shown_pair(two, cm=cm) if two else "-",
                _change(one, two, cm=cm) if one and two else "",
                one[0] if one else None,
                two[0] if two else None,
            )
        )
    return rows


def _change(one: Pair, two: Pair, *, cm: bool) -> str:
    """Say by how much each side changes; nothing where none does."""
    words = []
    square = one[0] == one[1] and two[0] == two[1]
    for before, after, over, under in (
        (one[0], two[0], "wider", "narrower"),
        (one[1], two[1], "longer", "shorter"),
    ):
        by = after - before
        if abs(by) >= _SMALLEST_CHANGE:
            how = over if by > 0 else under
            if square:
                how = "larger" if by > 0 else "smaller"
            words.append(f"{shown(abs(by), cm=cm, mark=True)} {how}")
    return ", ".join(words[:1] if square else words)


def unique_units(
    quilt: Quilt, made: AdaptedBlock, written: AdaptedBlock
) -> list[tuple[AdaptedUnit, AdaptedUnit]]:
    """Return each different unit with its written self; those that only differ in cloth once."""
    found: dict[tuple[str, int | None, int, int], tuple[AdaptedUnit, AdaptedUnit]] = {}
    for one, two in zip(made.units, written.units, strict=True):
        key = (one.unit.unit, one.unit.at_a_time, one.unit.wide, one.unit.high)
        found.setdefault(key, (one, two))
    return list(found.values())


def _decimal(length: Surd, *, cm: bool) -> str:
    if cm:
        return f"{float(length * CENTIMETRES_PER_INCH):.2f} cm"
    return f"{float(length):.3f} in"
