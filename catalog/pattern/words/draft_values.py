"""What a draft comes to in the whole quilt: how many times, how large, how often cut."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from catalog.pattern.words.cut_drafts import Draft, ReadingState
from catalog.pattern.words.instruction_values import CutShape

DIAGONALS: Final = {2: 1, 4: 2}
"""Triangles that a square gives, to cuts across its diagonal."""
GENERAL: Final = frozenset({"print", "fabric", "colour", "color", "cloth", "one", "batik", "scrap"})
"""Words that mean any cloth."""


def times_of(state: ReadingState, draft: Draft) -> int:
    """Return how many times a piece's own count the quilt takes."""
    times = 1
    each = draft.each
    if each > 0:
        times *= each
    elif each < 0:
        times *= fabrics_named(state, cloth_said(state, draft))[1]
    return times * (state.blocks or 1 if draft.per_block else 1)


def cloth_said(state: ReadingState, draft: Draft) -> str:
    """Return a piece's cloth as the text calls it there."""
    return draft.cloth or ""


def fabrics_named(state: ReadingState, name: str) -> tuple[str, int]:
    """Return the cloth that "each fat quarter" means, and how many there are; 1 if not told."""
    known = state.fabrics
    stems = _stems(name)
    fat = stems & {"quarter", "eighth", "fq"}
    bought = [buy.cloth for buy in state.buys if buy.fat and buy.cloth in known]
    choices = (
        [one for one in known if one == name],
        [one for one in known if _stems(one) == stems],
        bought if fat else [],
        [one for one in known if _stems(one) & stems],
        list(known) if stems <= GENERAL else [],
    )
    for alike in choices:
        if len(alike) == 1:
            return alike[0], known[alike[0]]
    return name, 1


def _stems(name: str) -> set[str]:
    return {word.rstrip("s") for word in name.split()} - {"different", "of"}


def diagonals_of(draft: Draft, times: int = 1) -> int:
    """Return how often each square is cut from corner to corner."""
    if draft.diagonal:
        return max(draft.times, 1)
    given = draft.said_triangles
    if given > 0 and draft.count:
        each = Fraction(given, draft.count * times)
        return DIAGONALS.get(int(each), 0) if each.denominator == 1 else 0
    return 0


def sides_of(state: ReadingState, draft: Draft) -> tuple[Fraction, Fraction | None, CutShape]:
    """Return width, length (None across cloth of unknown width) and shape of a piece."""
    first = draft.sides[0]
    if len(draft.sides) == 1:
        if draft.across or draft.along or draft.shape == "strip":
            return first, None if draft.along else state.usable, "strip"
        return first, first, "square"
    second = draft.sides[1]
    if state.length_first and draft.way != "both":
        first, second = second, first
    if draft.shape == "strip" or draft.along or draft.across:
        return min(first, second), max(first, second), "strip"
    return first, second, "square" if first == second else "rectangle"
