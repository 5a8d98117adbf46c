"""How many packs of precut squares a pattern takes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from catalog.cutting.adapted.adapted_quilt import AdaptedQuilt
from catalog.cutting.adapted.finishing import finishing_squares
from catalog.cutting.layouts.precuts import PINKING, PRECUTS, Pinked, Precut, find_precut
from catalog.cutting.layouts.stock import SoldAs, Stock
from catalog.cutting.plans import CutRow, PackRow
from catalog.cutting.quilt import Quilt
from catalog.lengths import show_length
from catalog.phrases import count_of, listed


def pinked_words(pinked: Pinked) -> str:
    """Say where pinked edges are taken to be measured."""
    start = "Squares and strips with pinked edges are taken to be of their named size from "
    if pinked == "tips":
        return (
            f"{start}tip to tip, so that from valley to valley {show_length(PINKING)} less is "
            "counted on. Makers differ: measure one of yours."
        )
    return (
        f"{start}valley to valley between the teeth. Makers differ: measure one of yours; where it "
        f"comes to that only from tip to tip, up to {show_length(PINKING)} less can be counted on."
    )


def packs_wanted(
    ours: AdaptedQuilt, stock: Stock, cuts: Sequence[CutRow] = ()
) -> tuple[PackRow, ...]:
    """Return the packs of squares that a quilt takes; none of an unusual size.

    Small pieces, and binding and backing of squares, come from squares that the blocks leave over,
    which are in the packs too.

    Parameters
    ----------
    ours : AdaptedQuilt
    stock : Stock
    cuts : sequence of CutRow
        Of the whole quilt, for what finishes it; whole squares are counted as used there.
    """
    precut = _precut_for(ours)
    if precut is None or precut.side is None:
        return ()
    wanted, area, gives = 0, Fraction(0), []
    for kind in ours.quilt.kinds:
        count, each = ours.count_of(kind), ours.pieces_each(kind)
        if kind.source == "yardage" or not count or not each:
            continue
        wanted += -(-count // each)
        wide, long = ours.cut_sides(kind)
        area += wide * long * count
        gives.append(f"{each} {kind.name}")
    if not wanted:
        return ()
    beside = finishing_squares(cuts)
    for cut in beside:
        wanted += cut.count
        area += cut.count * cut.width * cut.length
    return (_pack_row(precut, stock, stock.pack, wanted, area, gives, beside),)


def packs_used(
    ours: AdaptedQuilt, stock: Stock, side: Fraction, squares: int, taken: Mapping[str, int]
) -> tuple[PackRow, ...]:
    """Return the packs that hold the squares of one size that are used; none of an unusual size.

    Parameters
    ----------
    ours : AdaptedQuilt
    stock : Stock
        Its squares in a pack are those of the bundle's first size.
    side : Fraction
        Of the squares, inches.
    squares : int
        How many of them are used.
    taken : mapping from str to int
        How many pieces of each kind come from them.
    """
    own = replace(ours, square=side)
    precut = _precut_for(own)
    if precut is None or precut.side is None:
        return ()
    area, gives = Fraction(0), []
    for kind in ours.quilt.kinds:
        if number := taken.get(kind.name, 0):
            wide, long = ours.cut_sides(kind)
            area += wide * long * number
            gives.append(f"{own.pieces_each(kind)} {kind.name}")
    pack = stock.pack if side == ours.square else None
    return (_pack_row(precut, stock, pack, squares, area, gives),)


def _pack_row(
    precut: Precut,
    stock: Stock,
    in_a_pack: int | None,
    wanted: int,
    area: Fraction,
    gives: Sequence[str],
    beside: Sequence[CutRow] = (),
) -> PackRow:
    """Return the packs that hold so many squares, of which pieces of so much area are cut."""
    pack = in_a_pack or precut.usual_count
    packs = -(-wanted // pack)
    side = precut.sides_in_pack(stock.pinked)
    waste = max(1 - area / (wanted * side**2), Fraction(0))
    given = f"each gives {' or '.join(gives)}"
    are = "is" if wanted == 1 else "are"
    of_them = listed([f"{cut.count:,} of them for the {cut.piece}" for cut in beside])
    of_them = of_them and f" ({of_them})"
    words = (
        f"{count_of(packs, 'pack')} of {precut.plural} ({pack} in a pack): {wanted:,} {are} used"
        f"{of_them} and {packs * pack - wanted:,} left over; {given}, and "
        f"{float(waste * 100):.0f} percent of those used is wasted"
    )
    return PackRow(precut.plural, wanted, packs, pack, packs * pack - wanted, waste, given, words)


def pack_lines(rows: Sequence[PackRow], pinked: Pinked, short: int = 0) -> list[str]:
    """Say how many packs of squares a pattern takes.

    Parameters
    ----------
    rows : sequence of PackRow
    pinked : {"valleys", "tips"}
        Where pinked edges were measured.
    short : int
        Squares that are wanting.
    """
    lines = [f"The squares: {row.words}." for row in rows]
    if rows and short:
        packs = -(-short // rows[0].pack)
        lines.append(
            f"The {count_of(short, 'square')} wanting would be in {count_of(packs, 'more pack')}, "
            "as far as colours and values suit."
        )
    return [*lines, pinked_words(pinked)] if rows else []


def with_sold_as(stock: Stock, quilt: Quilt) -> Stock:
    """Return stock with what the pattern says of how its cloths are sold; what is told has way."""
    written = tuple(SoldAs(find_precut(one.sold_as), one.name) for one in quilt.cloths)
    told = {one.cloth for one in stock.sold_as}
    more = tuple(one for one in written if one.cloth not in told and "" not in told)
    return replace(stock, sold_as=(*stock.sold_as, *more))


def _precut_for(ours: AdaptedQuilt) -> Precut | None:
    """Return the squares as they are sold: those in hand, else the smallest that are enough."""
    squares = sorted((one for one in PRECUTS if one.is_square), key=lambda one: one.length)
    if ours.square is not None:
        near = (one for one in squares if abs(one.length - ours.square) <= PINKING)
        return next(near, None)
    largest = max((kind.size for kind in ours.quilt.kinds if kind.source == "bundle"), default=None)
    if largest is None:
        return None
    return next((one for one in squares if one.length >= largest), None)
