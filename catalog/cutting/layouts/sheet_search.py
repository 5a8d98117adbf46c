"""The fewest precuts for pieces: filled one by one, priced by a linear program, or all tried."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import count
from typing import Final

import numpy as np

from catalog.cutting.layouts.cut_tree import CutTree, SheetPiece
from catalog.cutting.layouts.guillotine_exact import fewest, is_small
from catalog.cutting.layouts.guillotine_filling import filled
from catalog.cutting.layouts.guillotine_pricing import PricedSheet
from catalog.linear_programs import Floats, integer_program

MAX_POINTS: Final = 6_000
"""Rectangles that are worked out at each price, some 40 ms; of odder mixtures the pieces are priced
in coarser units, a little larger for plans and a little smaller for the bound."""
MAX_PRICING_ROUNDS: Final = 25
"""The bound holds after any."""
MAX_FILLED: Final = 300
"""Pieces of several kinds up to which precuts are filled one by one; more start kind by kind."""
MAX_QUICK: Final = 80
"""The same where a good plan will do."""
MAX_BRANCHES: Final = 200
"""Of the whole-number program: a count and no time, so that the plan is the same anywhere."""

Made = dict[tuple[int, ...], CutTree]
"""Ways to cut up a precut by the pieces that they give."""


def fewest_found(
    kinds: Sequence[SheetPiece], wide: int, long: int, *, quick: bool
) -> tuple[list[CutTree], int]:
    """Return precuts as they are cut up, and a number that no plan beats.

    Parameters
    ----------
    kinds : sequence of SheetPiece
        Each fits at least one way.
    wide, long : int
        Of the precut, units.
    quick : bool
        Whether a good plan will do, and the bound of the area.
    """
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
        chosen, bound = _priced(kinds, wide, long, trees)
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
    kinds: Sequence[SheetPiece], wide: int, long: int, start: Sequence[CutTree]
) -> tuple[list[CutTree], int]:
    """Choose among ways to cut one up that are made at the prices of a linear program.

    As `catalog.cutting.yardage.strip_packing` does for strips; the bound is A. Farley's. In coarse
    units pieces are rounded up, so that what is made can be cut, and down for the bound: what can
    be cut of true pieces can be cut of smaller ones, and these on whole units.
    """
    wanted = np.array([kind.count for kind in kinds], float)
    made: Made = {}
    for tree in (*start, *_alone(kinds, wide, long)):
        made.setdefault(tree.counts(len(kinds)), tree)
    coarse = next(n for n in count(1) if (wide // n + 1) * (long // n + 1) <= MAX_POINTS)
    sheet = PricedSheet(kinds, wide, long)
    if coarse == 1 or sheet.points <= MAX_POINTS:
        least = _generate(made, sheet, wanted)
    else:
        up, down = _rounded(kinds, coarse, up=True), _rounded(kinds, coarse, up=False)
        whole = wide // coarse, long // coarse
        larger: Made = {}
        if all(any(a <= whole[0] and b <= whole[1] for a, b in kind.sides) for kind in up):
            _generate(larger, PricedSheet(up, *whole), wanted)
        for counts, tree in larger.items():
            made.setdefault(counts, tree.in_units(coarse, kinds, up).enlarged(wide, long))
        least = _generate({}, PricedSheet(down, *whole), wanted)
    return _chosen(made, kinds, wanted), math.ceil(least - 1e-6)


def _rounded(kinds: Sequence[SheetPiece], coarse: int, *, up: bool) -> list[SheetPiece]:
    more = coarse - 1 if up else 0
    return [
        replace(
            kind,
            sides=tuple(
                (max(1, (a + more) // coarse), max(1, (b + more) // coarse)) for a, b in kind.sides
            ),
        )
        for kind in kinds
    ]


def _generate(made: Made, sheet: PricedSheet, wanted: Floats) -> float:
    """Add the ways that the linear program needs; return its bound."""
    for number in range(len(sheet.kinds)):  # each kind alone, so that it has an answer
        _, tree = sheet.best(np.eye(len(sheet.kinds))[number])
        made.setdefault(tree.counts(len(sheet.kinds)), tree)
    least = 0.0
    for _ in range(MAX_PRICING_ROUNDS):
        prices = _prices(list(made), wanted)
        worth, tree = sheet.best(prices)
        least = max(least, float(prices @ wanted) / max(worth, 1.0))
        counts = tree.counts(len(sheet.kinds))
        if worth <= 1 + 1e-7 or counts in made:
            break
        made[counts] = tree
    return least


def _prices(columns: Sequence[tuple[int, ...]], wanted: Floats) -> Floats:
    from scipy.optimize import linprog

    table = np.array(columns, float)
    answer = linprog(-wanted, A_ub=table, b_ub=np.ones(len(table)), method="highs")
    prices: Floats = np.maximum(np.asarray(answer.x, float), 0.0)
    return prices


def _chosen(made: Made, kinds: Sequence[SheetPiece], wanted: Floats) -> list[CutTree]:
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
