"""Chosen squares -> the sets as the user sees them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import combinations

from catalog.bundle.fabrics import surely_same
from catalog.colour.ciede2000 import as_shown
from catalog.matching.difference_table import DifferenceTable, label_key
from catalog.models import SquareSet

Chosen = tuple[str, tuple[int, ...], bool]
"""The need served, places in the table, and whether the set was locked."""


def name_sets(
    tables: Sequence[DifferenceTable], chosen: Sequence[tuple[int, Chosen]]
) -> tuple[SquareSet, ...]:
    """Number the sets by request, then by the first label of each as people count.

    Parameters
    ----------
    tables : sequence of DifferenceTable
        One for each request.
    chosen : sequence of (place of the request, Chosen)
    """

    def order(item: tuple[int, Chosen]) -> tuple[int, tuple[tuple[int, str], ...]]:
        request, (_, places, _) = item
        return request, label_key(tables[request].swatches[min(places)].label)

    ordered = sorted(chosen, key=order)
    return tuple(
        _named(tables[at], number, each) for number, (at, each) in enumerate(ordered, start=1)
    )


def _named(table: DifferenceTable, number: int, chosen: Chosen) -> SquareSet:
    need, places, locked = chosen
    ordered = sorted(places, key=lambda p: (table.light[p], p))
    difference = table.widest(ordered)
    pairs = list(combinations(ordered, 2))
    same = [table.of_one_fabric(a, b) for a, b in pairs]
    sure = [surely_same(table.swatches[a], table.swatches[b]) for a, b in pairs]
    step = float(table.light[ordered[-1]] - table.light[ordered[0]])
    flags = {
        "locked": locked,
        "far apart": bool(as_shown(difference) > table.rules.tolerance),
        "same fabric": table.rules.same_fabric == "avoid" and any(same),
        "value step": len(ordered) > 1 and not _step_allowed(table, step),
    }
    return SquareSet(
        number=number,
        swatches=tuple(table.swatches[p].label for p in ordered),
        difference=difference,
        value_step=step,
        family=_family([table.swatches[p].family for p in ordered]),
        same_fabric=_all_same(sure),
        flags=tuple(flag for flag, raised in flags.items() if raised),
        need=need,
        k_lightness=table.rules.likeness.k_lightness,
        match_by=table.rules.match_by,
    )


def _all_same(sure: Sequence[bool | None]) -> bool | None:
    """Tell whether all squares are of one fabric, by its pairs; None where that can't be told."""
    if not sure or False in sure:
        return False
    return None if None in sure else True


def _step_allowed(table: DifferenceTable, step: float) -> bool:
    greatest = table.rules.greatest_value_step
    return step >= table.rules.least_value_step and (greatest is None or step <= greatest)


def _family(families: Sequence[str]) -> str:
    """Return the family they share, or the two most common joined by a slash."""
    counts = Counter(family for family in families if family)
    common = sorted(counts, key=lambda family: (-counts[family], family))[:2]
    return "/".join(sorted(common))
