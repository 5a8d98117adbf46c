"""The numbers of sets as a square bears them; one that was cut up may be in several."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

from catalog.models import NOT_COUNTED, SquareSet


def numbers_of(sets: Iterable[SquareSet]) -> dict[str, str]:
    """Return by label the numbers of a square's sets, such as ``7`` or ``1-4,9``.

    Those of sets that don't count stand in brackets, last, such as ``1-4(9)``.
    """
    found: dict[str, tuple[list[int], list[int]]] = {}
    for one in sets:
        for label in dict.fromkeys(one.swatches):
            found.setdefault(label, ([], []))[NOT_COUNTED in one.flags].append(one.number)
    return {
        label: _runs(counting) + (f"({_runs(others)})" if others else "")
        for label, (counting, others) in found.items()
    }


def darkest_of(sets: Iterable[SquareSet]) -> frozenset[str]:
    """Return the labels of squares that are the darkest of a set."""
    return frozenset(one.swatches[0] for one in sets)


def _runs(numbers: list[int]) -> str:
    runs = []
    for _, run in groupby(enumerate(sorted(numbers)), lambda item: item[1] - item[0]):
        own = [number for _, number in run]
        runs.append(str(own[0]) if len(own) == 1 else f"{own[0]}-{own[-1]}")
    return ",".join(runs)
