"""What was written beside what it becomes, row by row."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from catalog.cutting.adapted.adapted_lengths import lengths_of
from catalog.cutting.adapted.adapted_quilt import AdaptedQuilt
from catalog.cutting.adapted.unit_cuts import AdaptedUnit, UnitCut
from catalog.cutting.plans import ComparisonRow
from catalog.cutting.quilt import PieceKind
from catalog.cutting.units.sewn_seam import reach
from catalog.cutting.units.straight_units import squares_from_square
from catalog.cutting.units.surd import Surd
from catalog.cutting.units.unit_sizes import on_inch_ruler
from catalog.cutting.yardage.binding import binding_length
from catalog.lengths import (
    CENTIMETRES_PER_INCH,
    SIXTEENTH,
    SIXTY_FOURTH,
    show_centimetres,
    show_length,
)

Pair = tuple[Fraction, Fraction]


def shown(length: Fraction, *, cm: bool, mark: bool = False) -> str:
    """Write a length as the trade does, or in centimetres.

    One on no 64th of an inch is written to the nearest sixteenth, with "about".
    """
    if cm:
        return show_centimetres(length, places=None, mark=mark)
    if length % SIXTY_FOURTH:
        return f"about {show_length(length, step=SIXTEENTH, mark=mark)}"
    return show_length(length, step=None, mark=mark)


def shown_pair(pair: Pair, *, cm: bool) -> str:
    """Write width x length, or the one side of a square."""
    wide, long = (shown(side, cm=cm) for side in pair)
    return wide if wide == long else f"{wide} x {long}"


def comparison_rows(ours: AdaptedQuilt, written: AdaptedQuilt) -> list[ComparisonRow]:
    """Return every length as written beside what it becomes: pieces, units, strips, binding."""
    quilt, cm = ours.quilt, not on_inch_ruler(ours.mark)
    cuts = ours.piece_cuts
    rows = [_cut_row(one, cuts[one.name], ours, cm=cm) for one in quilt.kinds if one.name in cuts]
    rows += [_unit_row(one, two, ours, cm=cm) for one, two in _unique_units(ours, written)]
    old, new = (lengths_of(quilt, one.layout, one.seam, one.mark) for one in (written, ours))
    rows += _length_rows(old, new, cm=cm)
    if quilt.binding:
        one, two = (binding_length(at.layout.width, at.layout.length) for at in (written, ours))
        remark = f"strips cut {shown(quilt.binding.strip, cm=cm, mark=True)} wide"
        lengths = (shown(one, cm=cm), shown(two, cm=cm))
        rows.append(ComparisonRow("binding, joined", *lengths, remark, one, two))
    return rows


def _cut_row(kind: PieceKind, cut: UnitCut, ours: AdaptedQuilt, *, cm: bool) -> ComparisonRow:
    """Return the row of a piece that is cut for the blocks."""
    yours = shown_pair((cut.width, cut.height), cm=cm)
    if cut.as_it_is:
        yours += ", as it is"
    fits, remark = True, ""
    if kind.source == "bundle" and ours.square is not None:
        fits, remark = _fit_words(kind, cut, ours, ours.square, cm=cm)
    written = shown(kind.size, cm=cm)
    return ComparisonRow(f"cut: {kind.name}", written, yours, remark, kind.size, cut.width, fits)


def _fit_words(
    kind: PieceKind, cut: UnitCut, ours: AdaptedQuilt, square: Fraction, *, cm: bool
) -> tuple[bool, str]:
    block = ours.block
    if not block.trims_as_written and not block.asked and kind.size > square:
        return False, f"the written cut doesn't fit a {shown(square, cm=cm, mark=True)} square"
    needed = cut.exact.up_to(ours.mark)
    each = squares_from_square(square, cut.width)
    if each > 1:
        return True, f"{each} from each square"
    if needed < square:
        spare = shown(square - needed, cm=cm, mark=True)
        enough = "" if cut.width == needed else f"{shown(needed, cm=cm)} would do: "
        return True, f"{enough}{spare} to spare"
    return True, "just fits, nothing to spare"


def _unit_row(
    unit: AdaptedUnit, written: AdaptedUnit, ours: AdaptedQuilt, *, cm: bool
) -> ComparisonRow:
    """Return the row of a unit: to what it is trimmed, and whether it reaches the written size."""
    trim, old = (unit.trim, unit.trim_height), (written.trim, written.trim_height)
    what = "trim" if unit.method.trimmed else "as cut"
    remark, fits = "", True
    if unit.trim < written.trim:
        remark, fits = _smaller_words(unit, old, ours, cm=cm)
    elif unit.method.trimmed:
        spare = unit.sewn - max(trim)
        remark = "comes out just so, nothing to trim"
        if spare > 0:
            remark = f"sewn {_decimal(unit.sewn, cm=cm)}, {_decimal(spare, cm=cm)} to trim"
    name = unit.unit.unit.replace("-", " ")
    sizes = shown_pair(old, cm=cm), shown_pair(trim, cm=cm)
    return ComparisonRow(f"{what}: {name}", *sizes, remark, old[0], trim[0], fits)


def _smaller_words(
    unit: AdaptedUnit, old: Pair, ours: AdaptedQuilt, *, cm: bool
) -> tuple[str, bool]:
    """Say how much smaller than written a unit is; asked for so, it is no shortfall."""
    less = f"{shown(old[0] - unit.trim, cm=cm, mark=True)} smaller than written"
    if ours.block.asked:
        return f"{less}, as you asked", True
    if not unit.method.trimmed:
        return less, False
    width, seams = unit.cuts[0].width, [ours.seam]
    needed = reach(unit.method, width, seams, wanted=max(old), mark=ours.mark).cut_needed
    less = shown(max(old) - max(unit.trim, unit.trim_height), cm=cm, mark=True)
    larger = f"; cut from {shown(needed, cm=cm, mark=True)} it would reach it" if needed else ""
    return f"{less} smaller than written{larger}", False


def _length_rows(
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
        if abs(by) >= SIXTY_FOURTH:
            how = over if by > 0 else under
            if square:
                how = "larger" if by > 0 else "smaller"
            words.append(f"{shown(abs(by), cm=cm, mark=True)} {how}")
    return ", ".join(words[:1] if square else words)


def _unique_units(
    ours: AdaptedQuilt, written: AdaptedQuilt
) -> list[tuple[AdaptedUnit, AdaptedUnit]]:
    """Return each different unit with its written self; those that only differ in cloth once."""
    found: dict[tuple[str, int | None, int, int], tuple[AdaptedUnit, AdaptedUnit]] = {}
    for one, two in zip(ours.block.units, written.block.units, strict=True):
        key = (one.unit.unit, one.unit.at_a_time, one.unit.wide, one.unit.high)
        found.setdefault(key, (one, two))
    return list(found.values())


def _decimal(length: Surd, *, cm: bool) -> str:
    if cm:
        return f"{float(length * CENTIMETRES_PER_INCH):.2f} cm"
    return f"{float(length):.3f} in"
