"""The fewest precuts for a small plan, proven by trying everything.

For each collection of pieces the rectangles are found that it can be cut from and that none other
holds: those of any two parts of it, side by side or one above the other. A collection that one
precut holds is a choice for a precut; the fewest choices that make the whole are the answer.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product
from math import prod
from typing import Final

from catalog.cutting.layouts.cut_tree import CutTree, SheetPiece, split

MAX_COLLECTIONS: Final = 130
"""Collections of pieces up to which everything is tried: some 8,000 pairs of parts, a second."""

Counts = tuple[int, ...]


def is_small(kinds: Sequence[SheetPiece]) -> bool:
    """Say whether a plan is small enough to try everything."""
    return prod(kind.count + 1 for kind in kinds) <= MAX_COLLECTIONS


def fewest(kinds: Sequence[SheetPiece], width: int, length: int) -> list[CutTree]:
    """Return the fewest precuts that hold all pieces, each as it is cut up.

    Parameters
    ----------
    kinds : sequence of SheetPiece
        For which `is_small` holds; each fits at least one way.
    width, length : int
        Of the precut, units.
    """
    wanted = tuple(kind.count for kind in kinds)
    held: dict[Counts, list[CutTree]] = {}
    for counts in sorted(product(*(range(n + 1) for n in wanted)), key=sum):
        found = list(_cut_from(counts, kinds, held, width, length)) if any(counts) else []
        held[counts] = _smallest(found)
    best: dict[Counts, list[CutTree]] = {tuple(0 for _ in wanted): []}
    for counts in sorted(held, key=sum):
        if not any(counts):
            continue
        ways = (
            [trees[0], *best[_less(counts, part)]]
            for part, trees in held.items()
            if trees and all(a <= b for a, b in zip(part, counts, strict=True))
        )
        best[counts] = min(ways, key=len)
    return [tree.enlarged(width, length) for tree in best[wanted]]


def _less(counts: Counts, part: Counts) -> Counts:
    return tuple(a - b for a, b in zip(counts, part, strict=True))


def _cut_from(
    counts: Counts,
    kinds: Sequence[SheetPiece],
    held: dict[Counts, list[CutTree]],
    width: int,
    length: int,
) -> Iterator[CutTree]:
    """Give rectangles that a collection can be cut from."""
    if sum(counts) == 1:
        number = counts.index(1)
        for a, b in kinds[number].sides:
            if a <= width and b <= length:
                yield CutTree(a, b, number, (a, b))
        return
    for part in product(*(range(n + 1) for n in counts)):
        rest = _less(counts, part)
        if not any(part) or part > rest:
            continue
        for one, other in product(held[part], held[rest]):
            wide, long = max(one.width, other.width), max(one.length, other.length)
            if one.width + other.width <= width:
                yield split(one.width + other.width, long, "down", one, other)
            if one.length + other.length <= length:
                yield split(wide, one.length + other.length, "across", one, other)


def _smallest(found: list[CutTree]) -> list[CutTree]:
    """Return those that are not at least as wide and as long as another."""
    kept: list[CutTree] = []
    for tree in sorted(found, key=lambda one: (one.width, one.length)):
        if not kept or tree.length < kept[-1].length:
            kept.append(tree)
    return kept
