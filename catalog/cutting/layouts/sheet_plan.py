"""How many precuts of one size hold pieces, and how each is cut up by straight cuts."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

import numpy as np

from catalog.cutting.layouts.cloth_layout import LaidCut, LaidPiece, Sheet
from catalog.cutting.layouts.cut_tree import CutTree, SheetPiece
from catalog.cutting.layouts.guillotine_exact import fewest, is_small
from catalog.cutting.layouts.guillotine_filling import filled
from catalog.cutting.layouts.guillotine_pricing import PricedSheet
from catalog.cutting.layouts.stacking import layers_of
from catalog.errors import ClothError
from catalog.linear_programs import Floats, integer_program
from catalog.models import Piece

MAX_POINTS: Final = 6_000
"""Rectangles that are worked out at each price, some 40 ms; of odder mixtures the area alone bounds
the number."""
MAX_PRICING_ROUNDS: Final = 25
"""The bound holds after any."""
MAX_FILLED: Final = 300
"""Pieces of several kinds up to which precuts are filled one by one; more start kind by kind."""
MAX_QUICK: Final = 80
"""The same where a good plan will do."""
MAX_BRANCHES: Final = 200
"""Of the whole-number program: a count and no time, so that the plan is the same anywhere."""


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
    trees, least = _fewest_found(kinds, *whole, quick=quick)
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


def _fewest_found(
    kinds: Sequence[SheetPiece], wide: int, long: int, *, quick: bool
) -> tuple[list[CutTree], int]:
    """Return precuts as they are cut up, and a number that no plan beats."""
    if len(kinds) == 1:
        trees = _alone(kinds, wide, long)
        return trees, len(trees)
    few = sum(kind.count for kind in kinds) <= (MAX_QUICK if quick else MAX_FILLED)
    trees = filled(kinds, wide, long) if few else _alone(kinds, wide, long)
    area = sum(kind.count * kind.sides[0][0] * kind.sides[0][1] for kind in kinds)
    least = -(-area // (wide * long))
    if quick:
        return trees, least
    if len(trees) > least:
        priced = PricedSheet(kinds, wide, long)
        if priced.points <= MAX_POINTS:
            chosen, bound = _priced(kinds, priced, trees)
            trees, least = min(chosen, trees, key=len), max(least, bound)
    if len(trees) > least and is_small(kinds):
        trees = fewest(kinds, wide, long)
        least = len(trees)
    return trees, least


def _alone(kinds: Sequence[SheetPiece], wide: int, long: int) -> list[CutTree]:
    """Return the fewest precuts with each kind on precuts of its own."""
    trees: list[CutTree] = []
    for number, kind in enumerate(kinds):
        _, tree = PricedSheet([kind], wide, long).best(np.ones(1))
        own = tree.of_kind(number)
        trees += [own] * -(-kind.count // sum(own.counts(len(kinds))))
    return trees


def _priced(
    kinds: Sequence[SheetPiece], priced: PricedSheet, start: Sequence[CutTree]
) -> tuple[list[CutTree], int]:
    """Choose among ways to cut one up that are made at the prices of a linear program.

    As `catalog.cutting.yardage.strip_packing` does for strips; the bound is A. Farley's.
    """
    wanted = np.array([kind.count for kind in kinds], float)
    made: dict[tuple[int, ...], CutTree] = {}
    for tree in start:
        made.setdefault(tree.counts(len(kinds)), tree)
    for tree in _alone(kinds, priced.width, priced.length):  # so that a program has an answer
        made.setdefault(tree.counts(len(kinds)), tree)
    least = 0.0
    for _ in range(MAX_PRICING_ROUNDS):
        prices = _prices(list(made), wanted)
        worth, tree = priced.best(prices)
        least = max(least, float(prices @ wanted) / max(worth, 1.0))
        counts = tree.counts(len(kinds))
        if worth <= 1 + 1e-7 or counts in made:
            break
        made[counts] = tree
    return _chosen(made, kinds, wanted), math.ceil(least - 1e-6)


def _prices(columns: Sequence[tuple[int, ...]], wanted: Floats) -> Floats:
    from scipy.optimize import linprog

    table = np.array(columns, float)
    answer = linprog(-wanted, A_ub=table, b_ub=np.ones(len(table)), method="highs")
    prices: Floats = np.maximum(np.asarray(answer.x, float), 0.0)
    return prices


def _chosen(
    made: dict[tuple[int, ...], CutTree], kinds: Sequence[SheetPiece], wanted: Floats
) -> list[CutTree]:
    columns = list(made)
    table = np.array(columns, float).T
    cost, over = np.ones(len(columns)), np.full(len(kinds), np.inf)
    answer = integer_program(cost, table, (wanted, over), float(wanted.max()), MAX_BRANCHES)
    numbers = np.zeros(len(columns), int)
    if answer is not None:
        numbers = np.rint(answer.values).astype(int)
    chosen = [made[one] for one, n in zip(columns, numbers, strict=True) for _ in range(n)]
    got = np.sum([tree.counts(len(kinds)) for tree in chosen], axis=0) if chosen else 0 * wanted
    if (got < wanted).any():
        return [tree for tree in made.values() for _ in range(int(wanted.max()) + 1)]
    return chosen


def _sheets(
    trees: Sequence[CutTree], pieces: Sequence[Piece], unit: Fraction, what: str
) -> tuple[Sheet, ...]:
    """Return precuts with the pieces that are wanted of them, those that are alike together."""
    to_cut = [piece.count for piece in pieces]
    alike: dict[tuple[tuple[LaidPiece, ...], CutTree], int] = {}
    for tree in sorted(trees, key=lambda tree: tree.counts(len(pieces)), reverse=True):
        laid = []
        for kind, *box in tree.placed():
            if to_cut[kind]:
                to_cut[kind] -= 1
                laid.append(LaidPiece(pieces[kind].name, *(n * unit for n in box)))
        if laid:
            key = tuple(laid), tree
            alike[key] = alike.get(key, 0) + 1
    sheets = []
    for (own, tree), copies in alike.items():
        cuts = tuple(LaidCut(stage, *(n * unit for n in ends)) for stage, *ends in tree.lines())
        sides = tree.width * unit, tree.length * unit
        layers = layers_of(copies, own)
        sheets.append(Sheet(what, *sides, copies, own, cuts, layers))
    return tuple(sheets)


def _unit(sizes: Sequence[Fraction]) -> Fraction:
    """Return the largest unit of which all sizes are multiples."""
    bottom = math.lcm(*(size.denominator for size in sizes))
    return Fraction(math.gcd(*(int(size * bottom) for size in sizes)), bottom)
