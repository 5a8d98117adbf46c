"""How many precuts of one size hold pieces, and how each is cut up by straight cuts."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from catalog.cutting.layouts.cloth_layout import LaidCut, LaidPiece, Sheet
from catalog.cutting.layouts.cut_tree import CutTree, SheetPiece
from catalog.cutting.layouts.guillotine_pricing import PricedSheet
from catalog.cutting.layouts.sheet_search import fewest_found
from catalog.cutting.layouts.stacking import layers_of
from catalog.errors import ClothError
from catalog.models import Piece


@dataclass(frozen=True)
class SheetPlan:
    """Precuts of one size and how they are cut up."""

    sheets: tuple[Sheet, ...]
    """Those that are cut alike together, the fullest first."""
    number: int
    """Precuts cut up in all."""
    least: int
    """No straight cutting needs fewer; equal to `number` where the plan is proven best."""


def sheet_plan(
    pieces: Sequence[Piece],
    width: Fraction,
    length: Fraction,
    what: str,
    *,
    directional: bool = False,
    quick: bool = False,
) -> SheetPlan:
    """Plan the cutting of pieces from precuts of one size.

    Parameters
    ----------
    pieces : sequence of Piece
        What to cut.
    width, length : Fraction
        Of the precut, inches.
    what : str
        What it is called, such as ``fat quarter``.
    directional : bool
        Whether no piece may be turned.
    quick : bool
        Whether a good plan will do, where several kinds make the best one slow to find.

    Raises
    ------
    ClothError
        A piece is larger than the precut.
    """
    unit = _unit([width, length, *(side for one in pieces for side in (one.width, one.length))])
    whole = int(width / unit), int(length / unit)
    kinds = [_kind(one, whole, unit, what, directional=directional) for one in pieces]
    trees, least = fewest_found(kinds, *whole, quick=quick)
    return SheetPlan(_sheets(trees, pieces, unit, what), len(trees), least)


def most_from(piece: Piece, width: Fraction, length: Fraction, *, directional: bool) -> int:
    """Return how many pieces of one kind a precut gives at most; sides in inches."""
    unit = _unit([width, length, piece.width, piece.length])
    whole = int(width / unit), int(length / unit)
    kind = _kind(piece, whole, unit, "precut", directional=directional)
    worth, _ = PricedSheet([kind], *whole).best(np.ones(1))
    return round(worth)


def _kind(
    piece: Piece, whole: tuple[int, int], unit: Fraction, what: str, *, directional: bool
) -> SheetPiece:
    a, b = int(piece.width / unit), int(piece.length / unit)
    ways = [(a, b)] if directional or a == b else [(a, b), (b, a)]
    sides = tuple(way for way in ways if way[0] <= whole[0] and way[1] <= whole[1])
    if not sides:
        raise ClothError(
            f"{piece.name} is larger than a {what}", "buy it by the yard, or take a larger precut"
        )
    return SheetPiece(sides, piece.count)


def _sheets(
    trees: Sequence[CutTree], pieces: Sequence[Piece], unit: Fraction, what: str
) -> tuple[Sheet, ...]:
    """Return precuts with the pieces that are wanted of them, those that are alike together."""
    to_cut = [piece.count for piece in pieces]
    numbers, distinct = Counter(map(id, trees)), {id(tree): tree for tree in trees}
    alike: dict[CutTree, int] = {}
    by_counts = [(tree.counts(len(pieces)), tree) for tree in distinct.values()]
    for counts, whole in sorted(by_counts, key=lambda pair: pair[0], reverse=True):
        number = numbers[id(whole)]
        full = min([number, *(n // c for n, c in zip(to_cut, counts, strict=True) if c)])
        if full and any(counts):
            alike[whole] = alike.get(whole, 0) + full
            to_cut = [n - full * c for n, c in zip(to_cut, counts, strict=True)]
        for _ in range(number - full):
            tree = whole.still_wanted(to_cut)
            if not any(tree.placed()):
                break
            alike[tree] = alike.get(tree, 0) + 1
    sheets = []
    for tree, copies in alike.items():
        own = tuple(
            LaidPiece(pieces[kind].name, *(n * unit for n in box)) for kind, *box in tree.placed()
        )
        cuts = tuple(LaidCut(stage, *(n * unit for n in ends)) for stage, *ends in tree.lines())
        sides = tree.width * unit, tree.length * unit
        sheets.append(Sheet(what, *sides, copies, own, cuts, layers_of(copies, own)))
    return tuple(sheets)


def _unit(sizes: Sequence[Fraction]) -> Fraction:
    """Return the largest unit of which all sizes are multiples."""
    bottom = math.lcm(*(size.denominator for size in sizes))
    return Fraction(math.gcd(*(int(size * bottom) for size in sizes)), bottom)
