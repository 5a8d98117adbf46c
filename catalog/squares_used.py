"""What is cut from a bundle of several kinds of squares: told of those that the tally uses."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Final

from catalog.cutting.adapted.adaptation import AdaptedPattern
from catalog.cutting.adapted.packs import packs_used
from catalog.cutting.plans import CutRow, PackRow
from catalog.lengths import show_length
from catalog.models import Swatch, Tally

MAX_DENOMINATOR: Final = 1000
"""Of a side in inches that a photo's squares are said to have: it is kept as a decimal number, and
is a mark of a ruler, in inches or millimetres (5/127 in)."""

Pieces = Mapping[str, int]
"""From a square's label to how many pieces of a kind come from it."""


def sides_said(swatches: Sequence[Swatch], side: Fraction) -> dict[str, Fraction]:
    """Return by label what squares are said to measure, inches, ``side`` where nothing else is."""
    return {
        one.label: Fraction(one.square.said_in).limit_denominator(MAX_DENOMINATOR) or side
        for one in swatches
    }


def as_used(adapted: AdaptedPattern, tally: Tally, sides: Mapping[str, Fraction]) -> AdaptedPattern:
    """Return a pattern with its cuts and packs told of the squares that the tally uses.

    Parameters
    ----------
    adapted : AdaptedPattern
        As for squares of one size.
    tally : Tally
        Of the pattern's needs.
    sides : mapping from label to Fraction
        What each square is said to measure, inches. Where all are of one size nothing changes.
    """
    if len(set(sides.values())) < 2:
        return adapted
    used = _used_by_kind(adapted, tally)
    cuts = [
        replace(cut, how=_how(cut, used[cut.piece], used, sides)) if used.get(cut.piece) else cut
        for cut in adapted.cuts
    ]
    return replace(adapted, cuts=tuple(cuts), packs=_packs(adapted, used, sides))


def _used_by_kind(adapted: AdaptedPattern, tally: Tally) -> dict[str, Pieces]:
    """Return for each kind that comes from squares how many pieces each square gives."""
    kinds = {
        name: kind.name
        for kind in adapted.quilt.kinds
        if kind.source != "yardage"
        for name in kind.needs
    }
    used: dict[str, Counter[str]] = {}
    for line in tally.lines:
        if kind := kinds.get(line.need.name):
            given = dict(zip(line.swatches, line.pieces, strict=True))
            used.setdefault(kind, Counter()).update(given)
    return {**used}


def _how(
    cut: CutRow, own: Pieces, used: Mapping[str, Pieces], sides: Mapping[str, Fraction]
) -> str:
    """Say how many pieces of a kind come from each of how many squares, the larger squares first.

    A square that other pieces come from too stands after those that give only these.
    """
    others = {label for kind, labels in used.items() if kind != cut.piece for label in labels}
    alike = Counter((label in others, sides[label], number) for label, number in own.items())
    parts = []
    for (shared, side, each), many in sorted(
        alike.items(), key=lambda item: (item[0][0], -item[0][1], -item[0][2])
    ):
        squares = "one square" if many == 1 else f"each of {many} squares"
        which = f"{squares} of {show_length(side)}"
        whole = cut.how == "the square as it is" and each == 1 and side == cut.width
        if whole and not shared:
            parts.append(f"{squares} of {show_length(side)} as it is".removeprefix("each of "))
        else:
            parts.append(f"{each} from {which}{' that other pieces come from too' * shared}")
    wanting = cut.count - sum(own.values())
    return "; ".join([*parts, *([f"{wanting} wanting"] if wanting > 0 else [])])


def _packs(
    adapted: AdaptedPattern, used: Mapping[str, Pieces], sides: Mapping[str, Fraction]
) -> tuple[PackRow, ...]:
    """Return the packs of each size of squares that are used, that of the bundle first."""
    labels = {label for own in used.values() for label in own}
    rows: list[PackRow] = []
    for side in sorted(
        {sides[label] for label in labels}, key=lambda one: (one != adapted.square, one)
    ):
        mine = {label for label in labels if sides[label] == side}
        taken = {
            kind: sum(number for label, number in own.items() if label in mine)
            for kind, own in used.items()
        }
        rows += packs_used(adapted, adapted.stock, side, len(mine), taken)
    return tuple(rows)
