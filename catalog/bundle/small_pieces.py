"""Small pieces, cut from rests of squares and from squares left over."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

from catalog.bundle.eligibility import of_kind
from catalog.bundle.piece_stock import PieceStock, Scrap
from catalog.models import Need


@dataclass
class SmallPieces:
    """Small pieces cut for one need."""

    pieces: Counter[str] = field(default_factory=Counter)
    """By the label of the square, in the order of cutting."""
    each: list[int] = field(default_factory=list)
    """How many come from each whole square cut for it."""
    rests: int = 0
    """Squares of which only a rest was cut for it."""


def cut_small(
    needs: Sequence[Need], stock: PieceStock, scraps: Sequence[Scrap], short: Sequence[Need]
) -> dict[str, SmallPieces]:
    """Choose the rests and squares left over that small pieces are cut from, by the need's name.

    The order in which a need takes squares does not depend on what other squares there are;
    therefore one more square never makes a piece short that was not. Squares that a short need
    or another small need could use go last, rests of squares first.
    """
    small = [need for need in needs if need.source == "left over"]
    cut = {need.name: SmallPieces() for need in needs}

    def gives(one: Scrap, need: Need) -> bool:
        return bool(of_kind(stock.bundle[one.label], need) and one.each(need))

    for need in small:

        def cost(one: Scrap, need: Need = need) -> tuple[bool, int, bool, int, _Order]:
            missed = any(gives(one, other) for other in short)
            rivals = sum(gives(one, other) for other in small)
            each = one.each(need)
            return missed, rivals, one.size is None, -each, reading_order(one.label)

        missing = need.count
        for one in sorted((scrap for scrap in scraps if gives(scrap, need)), key=cost):
            taken = min(missing, one.room(need))
            if taken > 0:
                mine = cut[need.name]
                mine.pieces[one.label] += taken
                if one.size is None:
                    mine.each.append(one.each(need))
                else:
                    mine.rests += 1
                one.take(taken, need)
                missing -= taken
    return cut


_Order = tuple[str | int, ...]


def reading_order(label: str) -> _Order:
    """Return a key that puts R2C10 after R2C9."""
    parts = re.split("([0-9]+)", label)
    return tuple(int(part) if place % 2 else part for place, part in enumerate(parts))
