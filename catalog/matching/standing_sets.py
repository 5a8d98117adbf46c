"""Sets that were chosen before: those that stay as they are, each given to a request."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from catalog.matching.difference_table import DifferenceTable
from catalog.models import MatchRules, SetRequest

Placed = tuple[int, tuple[int, ...]]
"""The place of a request, and the places of a set's squares in its table."""


@dataclass(frozen=True)
class StandingSets:
    """Where sets that were chosen before go."""

    first: tuple[Placed, ...]
    """Those that nothing else may have the squares of."""
    last: tuple[Placed, ...]
    """Those too far apart to count where a number of sets is asked for: they stay if no set that
    counts needs their squares or their place."""


def place_standing(
    requests: Sequence[SetRequest],
    rules: MatchRules,
    tables: Sequence[DifferenceTable],
    locked: Sequence[Placed],
) -> StandingSets:
    """Give the sets that stand to requests that ask for them.

    Where as many sets are asked for as there can be, all stay that count or needn't. Where a
    number is asked for, as many that count as can be find a place; those of the least difference
    have it, after the rule on fabrics.

    Parameters
    ----------
    requests : sequence of SetRequest
    rules : MatchRules
    tables : sequence of DifferenceTable
        One for each request.
    locked : sequence of (request, places)
        Locked sets that have their place already.
    """
    if not rules.standing:
        return StandingSets((), ())
    counting: list[tuple[tuple[int, ...], list[int]]] = []
    beside: list[Placed] = []
    for labels, places in _possible(rules, tables[0], locked):
        fit = [r for r, one in enumerate(requests) if one.suits(labels)]
        if able := [r for r in fit if tables[r].counts(places)]:
            counting.append((places, able))
        elif fit and labels in rules.standing_far:
            beside.append((fit[0], places))
    served = Counter(r for r, places in locked if tables[r].counts(places))
    room = [None if one.sets is None else one.sets - served[r] for r, one in enumerate(requests)]
    open_ended = [one for one in beside if requests[one[0]].sets is None]
    return StandingSets(
        (*_assigned(counting, room, tables), *open_ended),
        tuple(one for one in beside if one not in open_ended),
    )


def _possible(
    rules: MatchRules, table: DifferenceTable, locked: Sequence[Placed]
) -> Iterator[tuple[tuple[str, ...], tuple[int, ...]]]:
    """Yield the sets that stand whose squares are there, in no locked set and no other one."""
    taken = {place for _, places in locked for place in places}
    for labels in rules.standing:
        places = tuple(table.place[one] for one in labels if one in table.place)
        if len(places) == len(labels) and taken.isdisjoint(places) and _may_be(table, places):
            taken.update(places)
            yield labels, places


def _may_be(table: DifferenceTable, places: Sequence[int]) -> bool:
    """Tell whether no rule but that on differences speaks against a set."""
    rules = table.rules
    labels = [table.swatches[place].label for place in places]
    if len(set(places)) < len(places) or rules.held_back.intersection(labels):
        return False
    own = {frozenset(pair) for pair in combinations(labels, 2)}
    if any(frozenset(pair) in own for pair in rules.forbidden):
        return False
    if rules.same_fabric == "avoid" and any(
        table.of_one_fabric(a, b) for a, b in combinations(places, 2)
    ):
        return False
    light = table.light[list(places)]
    step, most = float(light.max() - light.min()), rules.greatest_value_step
    return step >= rules.least_value_step and (most is None or step <= most)


def _assigned(
    counting: Sequence[tuple[tuple[int, ...], list[int]]],
    room: Sequence[int | None],
    tables: Sequence[DifferenceTable],
) -> list[Placed]:
    """Give as many sets to requests as have room for them."""
    if len(room) == 1 and room[0] is None:
        return [(0, places) for places, _ in counting]
    from scipy.optimize import linear_sum_assignment

    many = len(counting)
    slots = [r for r, left in enumerate(room)
             for _ in range(many if left is None else min(max(left, 0), many))]  # fmt: skip
    worst = [max(_worth(tables[r], places) for r in able) for places, able in counting]
    none = 1.0 + many * max(worst, default=0.0)  # leaving one out is worse than any choice
    cost = np.full((many, len(slots) + many), none)
    for i, (places, able) in enumerate(counting):
        worth = {r: _worth(tables[r], places) for r in able}
        cost[i, : len(slots)] = [worth.get(r, 2.0 * none) for r in slots]
    rows, columns = linear_sum_assignment(cost)
    return [
        (slots[j], counting[i][0])
        for i, j in zip(rows.tolist(), columns.tolist(), strict=True)
        if j < len(slots) and slots[j] in counting[i][1]
    ]


def _worth(table: DifferenceTable, places: Sequence[int]) -> float:
    """Return what a set comes to: its differences, and more where it isn't of the fabrics asked."""
    pairs = list(combinations(places, 2))
    differences = sum(float(table.difference[a, b]) for a, b in pairs)
    other = table.rules.same_fabric == "prefer" and not all(
        table.of_one_fabric(a, b) for a, b in pairs
    )
    return differences + OTHER_FABRIC * other


OTHER_FABRIC = 1e4
"""More than the differences of any set come to: a set of one fabric is preferred to all others."""
