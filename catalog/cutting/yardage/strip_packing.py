"""The fewest inches of strips that hold all pieces.

The model is the one of the cutting table. A strip is cut across the whole width of the cloth, as
tall as its tallest piece or stack, and no taller than the tallest piece of the plan. It is crosscut
into columns; a column holds pieces of one kind, as many above one another as the strip is tall
enough for. Among all such plans the one with the least sum of heights is wanted.

Method: P. Gilmore, R. Gomory, "A linear programming approach to the cutting-stock problem", Oper.
Res. 9 (1961) and "Multistage cutting stock problems of two and more dimensions", Oper. Res. 13
(1965): strips' patterns are made one by one at the prices of a linear program, whose value (made
safe as by A. Farley, Oper. Res. 38 (1990)) no plan can beat. An integer program then chooses
among the patterns made, and if its plan is longer than that bound, among all the patterns cheap
enough at those prices to be in a better one.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

import numpy as np

from catalog.cutting.yardage.knapsack import (
    SLACK,
    StripColumn,
    StripPattern,
    best_pattern,
    patterns_worth,
)
from catalog.cutting.yardage.strip_program import (
    Counts,
    Floats,
    PatternChoice,
    choose,
    easiest,
    prices_of,
)

FEW_PATTERNS: Final = 250
MANY_PATTERNS: Final = 1000
"""Patterns that the last search may choose from: few where the plan in hand is already
bought as the same number of the shop's steps as the bound, many where it isn't."""
MAX_PRICING_ROUNDS: Final = 100
"""Rounds of pricing, ten times the most seen in random plans of 1 to 10 kinds; the bound holds
after any."""


@dataclass(frozen=True)
class Kind:
    """Pieces of one kind, in whole units of the plan."""

    sides: tuple[tuple[int, int], ...]
    """(across, along) in each way that it may lie, one or two."""
    count: int


def pack(
    kinds: Sequence[Kind], width: int, bought: Callable[[int], Fraction] = Fraction
) -> PatternChoice:
    """Choose strips for all pieces.

    Parameters
    ----------
    kinds : sequence of Kind
        Each lies at least one way within `width`.
    width : int
        Units across the cloth.
    bought : callable
        What has to be bought for a sum of heights; where that is the same for the plan and for the
        bound, less is spent on a shorter plan.

    Returns
    -------
    PatternChoice
        Proven best where ``height`` is ``bound``.
    """
    if not kinds:
        return PatternChoice((), 0, 0)
    columns = {h: _columns(kinds, h, width) for h in _heights(kinds, width)}
    made = list(dict.fromkeys(_plain_patterns(columns, width)))
    if len(kinds) == 1 and len(columns) == 1:
        strips = -(-kinds[0].count // int(made[0].yields(1)[0]))
        return PatternChoice(((made[0], strips),), strips * made[0].height, strips * made[0].height)
    wanted = np.array([kind.count for kind in kinds])
    prices, least = _generate(made, columns, wanted, width)
    most = int(wanted @ [min(along for _, along in kind.sides) for kind in kinds])
    bound = _reachable(columns, least, most)
    plan = choose(made, wanted, bound) or _rounded_up(kinds, made, wanted)
    if plan.height > bound:
        # Only patterns that cost less than the gap beyond their worth can be in a better plan.
        slack = plan.height - 1 - float(prices @ wanted)
        most = FEW_PATTERNS if bought(plan.height) == bought(bound) else MANY_PATTERNS
        few = list(itertools.islice(_cheap(columns, prices, width, slack), most + 1))
        made = list(dict.fromkeys(made + few))
        if better := choose(made, wanted, bound):
            plan = min(plan, better, key=lambda one: one.height)
            if len(few) <= most:
                bound = max(bound, _reachable(columns, float(better.bound), plan.height))
    plan = PatternChoice(plan.patterns, plan.height, min(bound, plan.height))
    plan = easiest(made, wanted, plan) if len(made) <= FEW_PATTERNS else plan
    return PatternChoice(tuple(itertools.starmap(_low, plan.patterns)), plan.height, plan.bound)


def _low(pattern: StripPattern, strips: int) -> tuple[StripPattern, int]:
    """Make of tall strips in which all is stacked alike as many more low ones."""
    parts = math.gcd(pattern.height, *(column.stacked for column, _ in pattern.columns))
    height = pattern.height // parts
    low = tuple((replace(c, stacked=c.stacked // parts), n) for c, n in pattern.columns)
    return StripPattern(height, low), strips * parts


def _rounded_up(
    kinds: Sequence[Kind], made: Sequence[StripPattern], wanted: Counts
) -> PatternChoice:
    """Return the plan that gives each kind strips of its own, which is always there."""
    chosen = []
    for kind in range(len(kinds)):
        own = [pattern for pattern in made if pattern.yields(len(kinds))[kind]]
        numbers = [-(-int(wanted[kind]) // int(p.yields(len(kinds))[kind])) for p in own]
        chosen.append(
            min(zip(own, numbers, strict=True), key=lambda choice: choice[0].height * choice[1])
        )
    return PatternChoice(tuple(chosen), sum(p.height * n for p, n in chosen), 0)


def _heights(kinds: Sequence[Kind], width: int) -> list[int]:
    """Return the heights of single pieces and of stacks no taller than the tallest piece."""
    singles = {along for kind in kinds for across, along in kind.sides if across <= width}
    tallest = max(singles)
    return sorted({n * one for one in singles for n in range(1, tallest // one + 1)})


def _columns(kinds: Sequence[Kind], height: int, width: int) -> list[StripColumn]:
    found = []
    for number, kind in enumerate(kinds):
        for across, along in kind.sides:
            if across <= width and along <= height:
                stacked = min(height // along, kind.count)
                found.append(StripColumn(number, across, along, stacked, -(-kind.count // stacked)))
    # Wide ones first: then the last column to be filled up is the narrowest.
    return sorted(found, key=lambda c: (-c.across, c.kind, c.along))


def _plain_patterns(
    columns: Mapping[int, Sequence[StripColumn]], width: int
) -> Iterator[StripPattern]:
    for height, choices in columns.items():
        for column in choices:
            if column.along * column.stacked == height:
                yield StripPattern(height, ((column, min(column.most, width // column.across)),))


def _generate(
    made: list[StripPattern],
    columns: Mapping[int, Sequence[StripColumn]],
    wanted: Counts,
    width: int,
) -> tuple[Floats, float]:
    """Add the patterns that the linear program needs; return its prices and a bound."""
    seen, least = set(made), 0.0
    prices = np.zeros(len(wanted))
    for _ in range(MAX_PRICING_ROUNDS):
        prices = prices_of(made, wanted)
        fresh, dearest = [], 1.0
        for height, choices in columns.items():
            worth, pattern = best_pattern(height, choices, prices, width)
            dearest = max(dearest, worth / height)
            if pattern and worth > height * (1 + SLACK) and pattern not in seen:
                fresh.append(pattern)
        if (value := float(prices @ wanted) / dearest) > least:
            least, best = value, prices / dearest
        if not fresh:
            break
        made.extend(fresh)
        seen.update(fresh)
    return best, least


def _cheap(
    columns: Mapping[int, Sequence[StripColumn]], prices: Floats, width: int, slack: float
) -> Iterator[StripPattern]:
    for height, choices in columns.items():
        yield from patterns_worth(height, choices, prices, width, height - slack)


def _reachable(heights: Mapping[int, object], least: float, most: int) -> int:
    """Return the smallest sum of strips' heights from `least` on, `most` if there is none below."""
    sums, limit = 1, (1 << (most + 1)) - 1
    for height in heights:
        step = height
        while step <= most:
            sums |= (sums << step) & limit
            step *= 2
    floor = max(0, int(np.ceil(least - 1e-6)))
    above = sums >> floor
    return floor + (above & -above).bit_length() - 1 if above else most
