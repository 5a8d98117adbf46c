"""The plan of strips for pieces of many sizes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from catalog.cutting.yardage.bolt import Bolt, Purchase, buy, shown
from catalog.cutting.yardage.joining import Joined, join_long
from catalog.cutting.yardage.knapsack import StripColumn, StripPattern
from catalog.cutting.yardage.strip_packing import Kind, pack
from catalog.cutting.yardage.strip_program import PatternChoice
from catalog.errors import ClothError
from catalog.models import Piece

MAX_UNITS_ACROSS: Final = 50_000
"""Units across the cloth up to which sizes are packed as they are; 1/8 in beside whole millimetres
needs 41,000. Odder mixtures are packed as if each piece were up to `COARSE` larger."""
COARSE: Final = Fraction(1, 64)
"""Inches; finer than anyone cuts."""


@dataclass(frozen=True)
class StripCut:
    """Pieces of one kind that lie side by side in a strip."""

    piece: str
    across: Fraction
    """Size of one piece along the strip, inches."""
    along: Fraction
    """Size of one piece across the strip (along the cloth), inches."""
    columns: int
    """Crosscuts of the strip, each `across` wide."""
    stacked: int
    """Pieces above one another in a column."""
    count: int
    """Pieces taken from it, at most columns x stacked."""


@dataclass(frozen=True)
class Strip:
    """Strips that are cut alike."""

    height: Fraction
    """Inches along the cloth."""
    copies: int
    cuts: tuple[StripCut, ...]
    """From one end of the strip; pieces of each copy."""
    left: Fraction
    """Length left at the other end, inches."""
    words: str


@dataclass(frozen=True)
class StripPlan:
    """How pieces are cut from strips across the width of the cloth."""

    strips: tuple[Strip, ...]
    joined: tuple[Joined, ...]
    """What is sewn end to end before it is cut to length."""
    length: Fraction
    """Length of cloth that the strips take, inches."""
    least: Fraction
    """No plan of such strips takes less; equal to `length` where the plan is proven best."""
    purchase: Purchase
    words: tuple[str, ...]
    """One line for each kind of strip and each join."""


def strip_plan(
    pieces: Sequence[Piece], cloth: Bolt | None = None, *, join: bool = True
) -> StripPlan:
    """Plan the cutting of pieces from strips across the width of the cloth.

    Each strip is as tall as its tallest piece or stack and is crosscut into columns of pieces of
    one kind, above one another where the strip is tall enough. The plan takes the least cloth that
    such cutting can, as far as a bound proves it (see `packing`); pieces may be turned unless the
    cloth is directional. Pieces longer than the cloth is wide are cut from strips sewn end to end.

    Parameters
    ----------
    pieces : sequence of Piece
        What to cut.
    cloth : Bolt, optional
        Plain cotton, 40 in wide, if left out.
    join : bool
        Whether long pieces may be joined; if not they are cut along the length of the cloth.

    Returns
    -------
    StripPlan
        Strips from the tallest down; every piece is in it exactly once.

    Raises
    ------
    ClothError
        Two kinds of one name; a piece that can't be had from this cloth.
    """
    cloth = cloth or Bolt()
    names = [piece.name for piece in pieces]
    if len(set(names)) < len(names):
        raise ClothError("two kinds of pieces have one name", "give each kind its own name")
    short, joined = join_long(pieces, cloth, join=join)
    whole = [_whole_strips(one, cloth.width) for one in joined if one.strips > 1]
    beside = sum((one.height * one.copies for one in whole), Fraction(0))
    packing, sizes = _pack(short, {one.part.name for one in joined}, cloth, beside)
    strips = _strips(packing, sizes, cloth.width)
    strips = sorted([*whole, *strips], key=lambda strip: -strip.height)
    length = sum((strip.height * strip.copies for strip in strips), Fraction(0))
    least = packing.bound * sizes.unit + beside
    if sizes.coarse:
        least = min(least, length)
    words = (*(strip.words for strip in strips), *(one.words for one in joined))
    return StripPlan(tuple(strips), tuple(joined), length, least, buy(length, cloth), words)


@dataclass(frozen=True)
class _Sizes:
    """The pieces in whole units and back again."""

    pieces: Sequence[Piece]
    true: dict[tuple[int, int, int], tuple[Fraction, Fraction]]
    """(kind, across, along) in units: across and along in inches."""
    unit: Fraction
    """Unit of heights, inches."""
    coarse: bool


def _pack(
    pieces: Sequence[Piece], upright: set[str], cloth: Bolt, beside: Fraction
) -> tuple[PatternChoice, _Sizes]:
    ways = [_ways(piece, cloth, turn=piece.name not in upright) for piece in pieces]
    across_unit = _common([a for way in ways for a, _ in way] + [cloth.width])
    coarse = cloth.width / across_unit > MAX_UNITS_ACROSS
    if coarse:
        across_unit = COARSE
    unit = _common([b for way in ways for _, b in way])
    true, kinds = {}, []
    for number, (piece, way) in enumerate(zip(pieces, ways, strict=True)):
        sides = []
        for a, b in way:
            units = (math.ceil(a / across_unit), int(b / unit))
            true[(number, *units)] = (a, b)
            sides.append(units)
        kinds.append(Kind(tuple(sides), piece.count))
    packing = pack(
        kinds,
        math.floor(cloth.width / across_unit),
        lambda height: buy(beside + height * unit, cloth).bought,
    )
    return packing, _Sizes(pieces, true, unit, coarse)


def _ways(piece: Piece, cloth: Bolt, *, turn: bool) -> list[tuple[Fraction, Fraction]]:
    """Return across and along of a piece in each way that it may lie."""
    ways = [(piece.width, piece.length)]
    if turn and not cloth.directional and piece.width != piece.length:
        ways.append((piece.length, piece.width))
    return [way for way in ways if way[0] <= cloth.width]


def _common(sizes: Sequence[Fraction]) -> Fraction:
    """Return the largest unit of which all sizes are multiples."""
    if not sizes:
        return Fraction(1)
    bottom = math.lcm(*(size.denominator for size in sizes))
    return Fraction(math.gcd(*(int(size * bottom) for size in sizes)), bottom)


def _strips(packing: PatternChoice, sizes: _Sizes, width: Fraction) -> list[Strip]:
    to_cut = [piece.count for piece in sizes.pieces]
    copies: dict[tuple[Fraction, tuple[StripCut, ...]], int] = {}
    for pattern, number in sorted(packing.patterns, key=_tallest_first):
        for _ in range(number):
            cuts = _cuts(pattern, sizes, to_cut)
            if cuts:
                alike = max(cut.along * min(cut.stacked, cut.count) for cut in cuts), cuts
                copies[alike] = copies.get(alike, 0) + 1
    return [
        Strip(
            height,
            number,
            cuts,
            width - sum(cut.across * cut.columns for cut in cuts),
            _strip_words(height, number, cuts, width),
        )
        for (height, cuts), number in copies.items()
    ]


def _tallest_first(
    choice: tuple[StripPattern, int],
) -> tuple[int, int, tuple[tuple[int, ...], ...]]:
    pattern, number = choice
    columns = tuple((c.kind, c.across, c.along, n) for c, n in pattern.columns)
    return -pattern.height, -number, columns


def _cuts(pattern: StripPattern, sizes: _Sizes, to_cut: list[int]) -> tuple[StripCut, ...]:
    """Take from a strip the pieces that are still wanted."""
    cuts = []
    for column, number in sorted(pattern.columns, key=_tallest_column_first):
        count = min(to_cut[column.kind], number * column.stacked)
        if count:
            to_cut[column.kind] -= count
            across, along = sizes.true[(column.kind, column.across, column.along)]
            used = -(-count // column.stacked)
            name = sizes.pieces[column.kind].name
            cuts.append(StripCut(name, across, along, used, min(column.stacked, count), count))
    return tuple(cuts)


def _tallest_column_first(choice: tuple[StripColumn, int]) -> tuple[int, int, int]:
    column, _ = choice
    return -column.along, -column.across, column.kind


def _whole_strips(joined: Joined, width: Fraction) -> Strip:
    number = joined.strips - 1
    words = f"{_count(number)} of {shown(joined.height)} across {shown(width)}: whole, to be joined"
    cut = StripCut(joined.part.name, width, joined.height, 1, 1, 1)
    return Strip(joined.height, number, (cut,), Fraction(0), words)


def _strip_words(height: Fraction, copies: int, cuts: Sequence[StripCut], width: Fraction) -> str:
    each = "from each " if copies > 1 else ""
    said = []
    for cut in cuts:
        size = f"{shown(cut.across, mark=False)} x {shown(cut.along)}"
        above = f", {cut.stacked} above one another" if cut.stacked > 1 else ""
        said.append(f"{cut.count} {cut.piece} {size}{above}")
    start = f"{_count(copies)} of {shown(height)} across {shown(width)}"
    return f"{start}: {each}{'; '.join(said)}"


def _count(number: int) -> str:
    return "1 strip" if number == 1 else f"{number} strips"
