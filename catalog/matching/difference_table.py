"""The squares in the order of their labels, their differences and what the rules allow."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations, pairwise

import numpy as np
from numpy.typing import NDArray

from catalog.bundle.square_differences import difference_matrix, seen_lightness
from catalog.colour.ciede2000 import as_shown
from catalog.errors import SetError
from catalog.models import MatchBy, MatchRules, SetRequest, Swatch

SIZES = (1, 2, 3, 4)
STRIP = 1 << 19
"""Differences that are looked at together, 4 MB."""
SUM_ROUNDING = 1e-6
"""Sums of the same differences in another order differ by less."""


def label_key(label: str) -> tuple[tuple[int, str], ...]:
    """Return what sorts labels as people count: R2C9 before R2C10."""
    parts = re.findall(r"\d+|\D+", label)
    return (*((int(p), "") if p.isdecimal() else (-1, p) for p in parts), (-2, label))


@dataclass(frozen=True, eq=False)
class DifferenceTable:
    """Squares and what may go together."""

    swatches: tuple[Swatch, ...]
    """In the order of their labels."""
    place: dict[str, int]
    """From label to place among ``swatches``."""
    difference: NDArray[np.float64]
    """(n, n) CIEDE2000, by what the rules match by."""
    light: NDArray[np.float64]
    """(n,) L* as seen."""
    rules: MatchRules

    @cached_property
    def same(self) -> NDArray[np.bool_]:
        """(n, n) whether two are of one fabric; made where a rule asks for it."""
        fabrics = np.array([swatch.fabric for swatch in self.swatches], dtype=np.str_)
        same = (fabrics[:, None] == fabrics[None, :]) & (fabrics != "")[:, None]
        np.fill_diagonal(same, val=False)
        return np.asarray(same, np.bool_)

    def of_one_fabric(self, one: int, other: int) -> bool:
        """Tell whether two squares, by their places, are of one fabric."""
        fabric = self.swatches[one].fabric
        return bool(fabric) and one != other and fabric == self.swatches[other].fabric

    def matched_by(self, match_by: MatchBy) -> DifferenceTable:
        """Return the table of the same squares matched by something else."""
        rules = replace(self.rules, match_by=match_by)
        return replace(
            self, rules=rules, difference=difference_matrix(self.swatches, rules.likeness)
        )

    def cost(
        self,
        where: NDArray[np.intp],
        *,
        counting: bool = False,
        apart: bool = False,
        stepped: bool = False,
    ) -> NDArray[np.float64]:
        """Return the differences of some squares, (k, k), inf where `barred`."""
        cost = self.difference[np.ix_(where, where)]
        barred = self.barred(where, counting=counting, apart=apart, stepped=stepped)
        cost[barred] = np.inf
        return cost

    def barred(
        self,
        where: NDArray[np.intp],
        *,
        counting: bool = False,
        apart: bool = False,
        stepped: bool = False,
    ) -> NDArray[np.bool_]:
        """Tell which two of some squares must not be in one set.

        Parameters
        ----------
        where : array, (k,)
            Places of the squares, in order.
        counting : bool
            Whether two must not whose set wouldn't count.
        apart : bool
            Whether two of one fabric must not.
        stepped : bool
            Whether two must not that alone fall short of the least value step.

        Returns
        -------
        array, (k, k)
            The diagonal True.
        """
        barred = np.eye(len(where), dtype=np.bool_)
        step = max(STRIP // max(len(where), 1), 1)
        for start in range(0, len(where), step):
            rows = where[start : start + step]
            self._bar(barred[start : start + step], rows, where, counting, apart, stepped)
        at = {int(place): k for k, place in enumerate(where)}
        for one, two in self.rules.forbidden:
            a, b = at.get(self.place[one]), at.get(self.place[two])
            if a is not None and b is not None:
                barred[a, b] = barred[b, a] = True
        return barred

    def _bar(
        self,
        barred: NDArray[np.bool_],
        rows: NDArray[np.intp],
        where: NDArray[np.intp],
        counting: bool,
        apart: bool,
        stepped: bool,
    ) -> None:
        """Bar pairs of some rows with all."""
        rules = self.rules
        if counting and rules.within is not None:
            barred |= as_shown(self.difference[np.ix_(rows, where)]) > rules.within
        if apart:
            barred |= self.same[np.ix_(rows, where)]
        if rules.greatest_value_step is not None or (stepped and rules.least_value_step > 0):
            steps = np.abs(self.light[rows, None] - self.light[where])
            if rules.greatest_value_step is not None:
                barred |= steps > rules.greatest_value_step
            if stepped and rules.least_value_step > 0:
                barred |= steps < rules.least_value_step

    def widest(self, places: Sequence[int]) -> float:
        """Return the largest difference between two squares of a set."""
        return max((float(self.difference[a, b]) for a, b in combinations(places, 2)), default=0.0)

    def counts(self, places: Sequence[int]) -> bool:
        """Tell whether a set counts as a match."""
        within = self.rules.within
        return within is None or bool(as_shown(self.widest(places)) <= within)


def tables_of(table: DifferenceTable, requests: Sequence[SetRequest]) -> list[DifferenceTable]:
    """Return the table of each request, by what its sets are matched by."""
    tables = {table.rules.match_by: table}
    for request in requests:
        if request.match_by and request.match_by not in tables:
            tables[request.match_by] = table.matched_by(request.match_by)
    return [tables[request.match_by or table.rules.match_by] for request in requests]


def make_table(
    swatches: Sequence[Swatch], requests: Sequence[SetRequest], rules: MatchRules
) -> DifferenceTable:
    """Measure all pairs and check that the rules speak of these squares.

    Raises
    ------
    SetError
        Where labels are unknown or doubled, or rules contradict each other.
    """
    ordered = tuple(sorted(swatches, key=lambda swatch: label_key(swatch.label)))
    place = {swatch.label: i for i, swatch in enumerate(ordered)}
    if len(place) != len(ordered):
        double = next(a.label for a, b in pairwise(ordered) if a.label == b.label)
        msg = f"two squares are both called {double}"
        raise SetError(msg, "give every square a label of its own")
    _check(place, requests, rules)
    light = np.array([seen_lightness(one, rules.seen_from) for one in ordered], np.float64)
    difference = difference_matrix(ordered, rules.likeness)
    return DifferenceTable(ordered, place, difference, light, rules)


def _check(place: dict[str, int], requests: Sequence[SetRequest], rules: MatchRules) -> None:
    for request in requests:
        if request.size not in SIZES:
            msg = f"a set of {request.size} squares was asked for"
            raise SetError(msg, "ask for sets of 2, 3 or 4")
        if request.sets is not None and request.sets < 0:
            msg = f"{request.sets} sets were asked for"
            raise SetError(msg, "ask for 0 or more")
    for what, labels in _named(rules):
        for label in labels:
            if label not in place:
                msg = f"{label} is {what}, but no square has that label"
                raise SetError(msg, "take a label from swatches.csv or found.jpg")
    for one, two in rules.forbidden:
        if one == two:
            msg = f"{one} is kept apart from itself"
            raise SetError(msg, "name two different squares")
    greatest = rules.greatest_value_step
    if greatest is not None and greatest < rules.least_value_step:
        msg = (
            f"the least value step {rules.least_value_step:g} is more than "
            f"the greatest {greatest:g}"
        )
        raise SetError(msg, "make the least the smaller of the two")


def _named(rules: MatchRules) -> list[tuple[str, Sequence[str]]]:
    """Return all labels that the rules name, with what they say of them."""
    named: list[tuple[str, Sequence[str]]] = [("locked in a set", lock) for lock in rules.locked]
    named += [("kept apart from another", pair) for pair in rules.forbidden]
    named.append(("held back", sorted(rules.held_back, key=label_key)))
    return named
