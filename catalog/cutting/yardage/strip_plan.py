"""The plan of strips for pieces of many sizes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from catalog.cutting.yardage.bolt import Bolt, Purchase, buy
from catalog.cutting.yardage.joining import Joined, join_long
from catalog.cutting.yardage.strip_packing import Kind, pack
from catalog.cutting.yardage.strip_program import PatternChoice
from catalog.cutting.yardage.strips import PieceSizes, Strip, strips_of, whole_strips
from catalog.errors import ClothError
from catalog.models import Piece

MAX_UNITS_ACROSS: Final = 50_000
"""Units across the cloth up to which sizes are packed as they are; 1/8 in beside whole millimetres
needs 41,000. Odder mixtures are packed as if each piece were up to `COARSE` larger."""
COARSE: Final = Fraction(1, 64)
"""Inches; finer than anyone cuts."""


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
    such cutting can, as far as a bound proves it (see `strip_packing`); pieces may be turned unless
    the cloth is directional. Pieces longer than the cloth is wide are cut from strips sewn end to
    end.

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
    whole = [whole_strips(one, cloth.width) for one in joined if one.strips > 1]
    beside = sum((one.height * one.copies for one in whole), Fraction(0))
    packing, sizes = _pack(short, {one.part.name for one in joined}, cloth, beside)
    strips = strips_of(packing, sizes, cloth.width)
    strips = sorted([*whole, *strips], key=lambda strip: -strip.height)
    length = sum((strip.height * strip.copies for strip in strips), Fraction(0))
    least = packing.bound * sizes.unit + beside
    if sizes.coarse:
        least = min(least, length)
    words = (*(strip.words for strip in strips), *(one.words for one in joined))
    return StripPlan(tuple(strips), tuple(joined), length, least, buy(length, cloth), words)


def _pack(
    pieces: Sequence[Piece], upright: set[str], cloth: Bolt, beside: Fraction
) -> tuple[PatternChoice, PieceSizes]:
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
    return packing, PieceSizes(pieces, true, unit, coarse)


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
