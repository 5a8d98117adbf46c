"""A choice of sets made better, one neighbourhood after the other, each solved exactly.

Large-neighbourhood search (Shaw 1998): the sets that cost most more than their prices, which is
where the gap to the bound lies, are taken apart with those that the linear program ties to them.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.linear_programs import TOLERANCE, Floats
from catalog.matching.packing.exchange import Pick, finite_costs
from catalog.matching.packing.pricing import sets_priced
from catalog.matching.packing.set_columns import Columns, Prices

Ints = NDArray[np.int64]

ROUNDS: Final = ((12, 1, "tied", 6), (12, 1, "near", 6), (20, 1, "near", 3))
"""How many sets are taken apart at once, around how many, which, and how many times at most: a
count and no time, so that the answer is the same on any machine."""
MORE_ROUNDS: Final = ((30, 4, "tied", 4), (20, 1, "near", 6), (30, 4, "near", 4))
"""The same where these and a look among all sets of least excess leave much over the bound."""
MAX_COLUMNS: Final = 300
"""Sets that a neighbourhood is put together from, those that cost least over their prices;"""
MAX_OF_SQUARE: Final = 10
"""and so many of each square, or those that are hard to place have none."""
MAX_SEARCHED: Final = 1_500
MAX_BRANCHES: Final = 20
MIN_TIE: Final = 1e-6


def search(
    columns: Columns,
    prices: Prices,
    picks: list[Pick],
    enough: float,
    rounds: Sequence[tuple[int, int, str, int]] = ROUNDS,
) -> list[Pick]:
    """Return a choice at least as good; no better one is sought once it costs no more than enough.

    Parameters
    ----------
    columns : Columns
    prices : Prices
        Those that prove the bound.
    picks : list of Pick
    enough : float
        Shortages counted in.
    rounds : sequence
        As `ROUNDS` has them.
    """
    here = None
    for together, seeds, which, times in rounds:
        tried: set[tuple[Pick, ...]] = set()
        here = _Neighbourhoods(columns, prices, picks, which, here)
        for _ in range(times):
            if columns.value(here.picks) <= enough:
                return here.picks
            group = here.group(together, seeds, tried)
            if group is None:
                break
            tried.add(tuple(here.picks[at] for at in group))
            better = here.solved(group)
            if better is not None:
                here = _Neighbourhoods(columns, prices, better, which, here)
        picks = here.picks
    return picks


class _Neighbourhoods:
    """Those of one choice; what holds for all choices is taken over from another's."""

    def __init__(
        self,
        columns: Columns,
        prices: Prices,
        picks: list[Pick],
        which: str,
        before: _Neighbourhoods | None,
    ) -> None:
        columns.add(picks)
        self.columns, self.prices, self.picks = columns, prices, picks
        known: Floats = before.excess if before else np.zeros(0)
        more = columns.excess(columns.picks[len(known) :], prices)
        self.excess: Floats = np.concatenate([known, more])
        self.costs: Floats = before.costs if before else finite_costs(columns.rules.cost)
        self.own = self.excess[[columns.place[pick] for pick in picks]]
        self.ties = (
            _ties(columns, self.excess, picks) if which == "tied" else _nearness(self.costs, picks)
        )

    def group(self, together: int, seeds: int, tried: set[tuple[Pick, ...]]) -> list[int] | None:
        """Return the first group around the sets of most excess that wasn't tried yet."""
        worst = np.argsort(-np.round(self.own, 9), kind="stable").tolist()
        for at in range(len(worst)):
            group = _tied(self.ties, worst[at : at + seeds], together)
            if tuple(self.picks[at] for at in group) not in tried:
                return group
        return None

    def solved(self, group: list[int]) -> list[Pick] | None:
        """Return a better choice, a group's sets put together anew; None where none is found."""
        columns, inside = self.columns, set(group)
        apart = [self.picks[at] for at in group]
        rest = [pick for at, pick in enumerate(self.picks) if at not in inside]
        free = np.ones(columns.n, bool)
        for _, squares in rest:
            free[list(squares)] = False
        # The gap is what the sets cost more than their prices: one that costs more than is left
        # when the others are counted is in no better choice.
        gap = columns.value(self.picks) - self.prices.bound
        left = gap - float(np.delete(self.own, group).sum())
        sets = set(apart)
        for at in range(len(columns.demands)):
            found, _ = sets_priced(columns, self.prices, at, left, MAX_SEARCHED, free)
            sets.update(_some(found))
        made = np.bincount([at for at, _ in rest], minlength=len(columns.wanted))
        wanted = columns.wanted - made.astype(float)
        cuts = self.prices.cut.cuts
        better = columns.whole(
            sorted(sets), MAX_BRANCHES, start=apart, wanted=wanted, cuts=cuts, beside=rest
        )
        before = columns.value(apart, wanted)
        if better is None or columns.value(better[0], wanted) > before - TOLERANCE:
            return None
        return sorted(rest + better[0])


def _some(found: list[tuple[Pick, float]]) -> list[Pick]:
    """Return the sets of least excess, of all and of each square."""
    found = sorted(found, key=lambda item: (round(item[1], 9), item[0]))
    kept = [pick for pick, _ in found[:MAX_COLUMNS]]
    of_square = Counter(square for _, squares in kept for square in squares)
    for (at, squares), _ in found[MAX_COLUMNS:]:
        if any(of_square[square] < MAX_OF_SQUARE for square in squares):
            of_square.update(squares)
            kept.append((at, squares))
    return kept


def _ties(columns: Columns, excess: Floats, picks: list[Pick]) -> Floats:
    """Return (sets, sets) how much columns of little excess have squares of both."""
    owner = np.full(columns.n + 1, len(picks))
    for at, (_, squares) in enumerate(picks):
        owner[list(squares)] = at
    holds = np.zeros((len(columns.picks), len(picks) + 1))
    members = owner[columns.members(columns.picks)]
    for column in members.T:
        np.add.at(holds, (np.arange(len(members)), column), 1.0)
    holds = holds[:, :-1]
    ties: Floats = (holds * np.exp(-np.maximum(excess, 0.0))[:, None]).T @ holds
    return ties


def _nearness(costs: Floats, picks: list[Pick]) -> Floats:
    """Return (sets, sets) how near each other's squares are."""
    holds = np.zeros((len(picks), len(costs)))
    for at, (_, squares) in enumerate(picks):
        holds[at, list(squares)] = 1.0 / len(squares)
    far = holds @ costs @ holds.T
    nearness: Floats = 1.0 / (1.0 + far)
    return nearness


def _tied(ties: Floats, seeds: list[int], together: int) -> list[int]:
    """Return some sets and those most tied to them and to each other, ascending."""
    group, to_group = list(seeds), ties[seeds].sum(axis=0)
    to_group[seeds] = -1.0
    while len(group) < together:
        most = int(np.round(to_group, 9).argmax())
        if to_group[most] < MIN_TIE:
            break
        group.append(most)
        to_group += ties[most]
        to_group[group] = -1.0
    return sorted(group)
