"""The sets that a bundle gives for the needs of a pattern, larger squares cut up.

What it means that a square gives several pieces is told in `catalog.bundle.pieces`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence, Set
from dataclasses import replace
from statistics import median_low
from typing import Final

import numpy as np

from catalog.bundle.eligibility import requests_of
from catalog.bundle.pieces import grid_of, pieces_from
from catalog.bundle.square_differences import difference_matrix
from catalog.colour.ciede2000 import as_shown
from catalog.matching import match_requests
from catalog.matching.difference_table import SUM_ROUNDING, label_key
from catalog.matching.fewest import fewest
from catalog.matching.piece_rounds import PieceRounds
from catalog.models import Matching, MatchRules, Need, SetRequest, SquareSet, Swatch

MAX_LETTINGS_GO: Final = 6
"""Times that it is tried which sets needn't stand; each takes as long as the choice itself."""
MAX_LET_GO_BY_ONE: Final = 150
"""Squares up to which that is tried; of more, all sets go where they cost any (choice of ours:
a choice among a thousand takes half a second, and a plan counts several larger quilts too)."""


def choose_sets(swatches: Sequence[Swatch], needs: Sequence[Need], rules: MatchRules) -> Matching:
    """Choose the sets that the needs ask of a bundle.

    Where no square gives several pieces, this is `match_requests` of `requests_of`. Else pieces are
    matched as squares are. Where needs would cut the same squares up differently, squares are
    first shared out among the sizes, whole, and then matched size by size: near the best only.

    Sets that stand are let go, as few as it takes, where more pieces of those that are asked for by
    number can be had without them.

    Parameters
    ----------
    swatches : sequence of Swatch
        Labels unique.
    needs : sequence of Need
        Names differ; those that ask nothing of the bundle are passed over.
    rules : MatchRules
        As they speak of squares.

    Returns
    -------
    Matching
        Of squares: one that gives several pieces may be in several sets, and twice in one.
        ``bound`` is 0 where nothing is known of better choices.

    Raises
    ------
    SetError
        As from `match_requests`.
    """
    matching = _chosen(swatches, needs, rules)
    if not rules.standing or all(not need.count for need in needs):
        return matching
    served = _served(matching, needs, rules)

    def with_fewer(let_go: Sequence[tuple[str, ...]]) -> Matching:
        left = tuple(one for one in rules.standing if one not in let_go)
        return _chosen(swatches, needs, replace(rules, standing=left))

    free = with_fewer(rules.standing)
    most = _served(free, needs, rules)
    if most <= served:
        return matching
    if len(swatches) > MAX_LET_GO_BY_ONE:
        return free
    let_go = fewest(
        rules.standing,
        lambda some: _served(with_fewer(some), needs, rules) >= most,
        MAX_LETTINGS_GO,
    )
    return with_fewer(let_go)


def _served(matching: Matching, needs: Sequence[Need], rules: MatchRules) -> int:
    """Return how many pieces of those that are asked for by number have a set that counts."""
    within = math.inf if rules.within is None else rules.within
    by_number = {need.name for need in needs if need.count}
    return sum(
        len(one.swatches)
        for one in matching.sets
        if one.need in by_number and as_shown(one.difference) <= within
    )


def _chosen(swatches: Sequence[Swatch], needs: Sequence[Need], rules: MatchRules) -> Matching:
    """Choose the sets, those that stand first."""
    asking = [need for need in needs if need.source == "bundle"]
    free = [one for one in swatches if one.label not in rules.held_back]
    if all(pieces_from(one, need) <= 1 for need in asking for one in free):
        return match_requests(swatches, requests_of(asking, swatches), rules)
    return _Chooser(swatches, asking, rules).run()


def sizes_cut(needs: Sequence[Need], swatches: Sequence[Swatch]) -> list[list[Need]]:
    """Put needs together for which every square would be cut up in the same way."""
    sizes: list[list[Need]] = []
    for need in needs:
        alike = next((one for one in sizes if _alike(one[0], need, swatches)), None)
        if alike is None:
            sizes.append([need])
        else:
            alike.append(need)
    return sizes


def _alike(one: Need, other: Need, swatches: Sequence[Swatch]) -> bool:
    grids = [(grid_of(swatch, one), grid_of(swatch, other)) for swatch in swatches]
    return all(a == b for a, b in grids if math.prod(a) and math.prod(b))


class _Chooser(PieceRounds):
    """One run of `choose_sets`: squares shared out among the sizes that they are cut to."""

    def __init__(
        self, swatches: Sequence[Swatch], needs: Sequence[Need], rules: MatchRules
    ) -> None:
        super().__init__(swatches, needs, rules)
        self.alone: list[Matching] = []
        """What needs of each size would have with all squares to themselves."""

    def run(self) -> Matching:
        sizes = sizes_cut(self.needs, self.swatches)
        if len(sizes) == 1:
            self.only_counting = False
            self.serve(sizes[0], self.swatches, self.rules)
        else:
            self._serve_each(sorted(sizes, key=lambda size: -size[0].size))
        return self._matching()

    def _serve_each(self, sizes: Sequence[Sequence[Need]]) -> None:
        """Share squares out among sizes, serve each from its own, then what lacks from the rest."""
        shared = match_requests(self.swatches, self._whole_requests(), self.rules)
        names = [{need.name for need in size} for size in sizes]
        mine = [
            {label for one in shared.sets if one.need in name and self.stays(one)
             for label in one.swatches}
            for name in names
        ]  # fmt: skip
        for at, size in enumerate(sizes):
            others = set().union(*mine[:at], *mine[at + 1 :])
            locked = [one for one in shared.sets if "locked" in one.flags and one.need in names[at]]
            locks = {frozenset(one.swatches) for one in locked}
            rules = replace(
                self.rules, locked=tuple(k for k in self.rules.locked if frozenset(k) in locks)
            )
            self._serve_from(size, self._untouched(others), rules)
        for self.only_counting in (True, False):
            for size in sizes:
                if any(self.missing[need.name] != 0 for need in size):
                    rules = replace(self.rules, locked=())
                    self._serve_from(size, self._untouched(set()), rules)

        for size in sizes:
            if any(need.match > 1 for need in size):
                self.alone.append(_Chooser(self.swatches, size, self.rules).run())

    def _bound(self, sets: Sequence[SquareSet]) -> float:
        """Return what no choice of as many sets goes under, as far as that is known.

        Where squares are cut to several sizes, no size has it better than with all squares to
        itself.
        """
        if self.alone:
            several = sum(len(one.swatches) > 1 for one in sets)
            made = sum(len(one.swatches) > 1 for each in self.alone for one in each.sets)
            return sum(each.bound for each in self.alone) if made == several else 0.0
        made_in = [part for part in self.parts if part.sets]
        return made_in[0].bound if len(made_in) == 1 else 0.0

    def _serve_from(
        self, needs: Sequence[Need], squares: Sequence[Swatch], rules: MatchRules
    ) -> None:
        self.serve(needs, squares, rules.among({one.label for one in squares}))

    def _untouched(self, but: Set[str]) -> list[Swatch]:
        used = {label for part in self.parts for one in part.sets for label in one.swatches}
        return [one for one in self.swatches if one.label not in used and one.label not in but]

    def _whole_requests(self) -> list[SetRequest]:
        """Ask for as many squares as give the pieces, one size of each."""
        requests = []
        for need, request in zip(self.needs, requests_of(self.needs, self.swatches), strict=True):
            each = [pieces_from(self.bundle[label], need) for label in request.eligible]
            usual = median_low(each) if each else 1
            sets = None if request.sets is None else -(-request.sets // usual)
            requests.append(replace(request, sets=sets))
        return requests

    def _matching(self) -> Matching:
        """Put all sets together, numbered by need, then by their first labels."""
        order = {need.name: place for place, need in enumerate(self.needs)}
        sets = sorted(
            (one for part in self.parts for one in part.sets),
            key=lambda one: (order[one.need], min(map(label_key, one.swatches))),
        )
        sets = [replace(one, number=number) for number, one in enumerate(sets, 1)]
        used = {label for one in sets for label in one.swatches}
        held = {frozenset(one.swatches) for one in sets if "locked" in one.flags}
        total = sum(self._sum_of(one) for one in sets)
        bound = self._bound(sets)
        wanted = sum(
            need.count // need.match or sum(one.need == need.name for one in sets)
            for need in self.needs
        )
        return replace(
            self.parts[0].matching,
            sets=tuple(sets),
            unused=tuple(sorted(self.bundle.keys() - used, key=label_key)),
            left_aside=tuple(lock for lock in self.rules.locked if frozenset(lock) not in held),
            total=total,
            bound=total if total - bound <= SUM_ROUNDING else bound,
            wanted=wanted,
        )

    def _sum_of(self, one: SquareSet) -> float:
        """Return the sum of the differences inside a set."""
        squares = [self.bundle[label] for label in one.swatches]
        rules = replace(self.rules, match_by=one.match_by)
        return float(np.triu(difference_matrix(squares, rules.likeness)).sum())
