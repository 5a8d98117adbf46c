"""Swatches to which of them are cut from one fabric."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from catalog.bundle.fabric_unlikeness import Unlikeness, fabric_unlikeness
from catalog.models import Swatch

Floats = NDArray[np.float64]

MAX_UNLIKENESS = 1.0
"""Mean between two piles up to which they are one fabric."""
MIN_TIMES_FURTHER, MIN_LOOKS_FURTHER = 1.8, 0.5
"""Of two piles of two squares and more: so many times further than squares of either, and at least
so far, their looks are from each other on the whole where they may be two fabrics after all: a
print in two scales, or another in its colours. It marks one of 20 such piles of one fabric on 25
photos, and 48 of 71 drawn ones of two such prints (24 photos of `tests/bench/fabrics.py`), the same
share as 1.7 did with the network before. Told as two, more than half of these would be right, but
in real rows under uneven light one fabric fell apart."""
PLAIN_SPREAD = 5.0
"""Spread of a print (CIEDE2000) below which nothing but its colour tells it from another."""
SURE_PLAIN = 0.6
"""Unlikeness, mean between two piles, up to which plain ones are surely one fabric. On 25 photos
with truth piles of plain fabrics joined beyond it were one fabric in 10 cases and several in 4, all
of these in a bundle of creams; below it in 181 and 2 (the same bundle); prints joined beyond it
were one in 26 of 27."""
SURELY_OTHER = 1.15
"""Unlikeness from which two piles are surely two fabrics: of six pairs of piles between 1 and it
two were one fabric, of eight between it and 1.3 one, of 13 between that and 1.5 one. Likewise where
only doubts of squares' own colours keep piles together: without them they would be as far apart."""
SEVERAL = "fabric may be several"
"""Flag of the squares of a fabric that may be more than one."""
MAY_BE = "fabric may be "
"""With another fabric's name, the flag of squares that may be cut from that."""


def of_fabric(flag: str) -> bool:
    """Tell whether a flag is a doubt about a fabric, and none about its square."""
    return flag.startswith(MAY_BE)


def surely_same(one: Swatch, other: Swatch) -> bool | None:
    """Tell whether two squares are cut from one fabric; None where the photos can't tell."""
    if one.label == other.label:
        return True
    if one.fabric == other.fabric:
        return None if SEVERAL in one.flags or SEVERAL in other.flags else True
    may = f"{MAY_BE}{other.fabric}" in one.flags or f"{MAY_BE}{one.fabric}" in other.flags
    return None if may else False


def surely_of_one_fabric(swatches: Sequence[Swatch]) -> list[list[int]]:
    """Return the places of squares of which each two are `surely_same`, two and more together."""
    fabrics: dict[str, list[int]] = {}
    for place, one in enumerate(swatches):
        if one.fabric and SEVERAL not in one.flags:
            fabrics.setdefault(one.fabric, []).append(place)
    return [places for places in fabrics.values() if len(places) > 1]


def tell_fabrics(swatches: Sequence[Swatch]) -> tuple[Swatch, ...]:
    """Tell which squares are cut from one fabric, by their colours and the print's structure.

    Parameters
    ----------
    swatches : sequence of Swatch
        The whole bundle with its signatures; its order doesn't matter.

    Returns
    -------
    tuple of Swatch
        In the order given, with ``fabric`` set: ``F01`` for the first in reading order, and so on;
        flagged where the photos can't tell it (see `of_fabric`).
    """
    swatches = [replace(s, flags=tuple(f for f in s.flags if not of_fabric(f))) for s in swatches]
    if len(swatches) < 2:
        return tuple(replace(s, fabric="F01") for s in swatches)
    from scipy.cluster.hierarchy import fcluster, linkage
    from scipy.spatial.distance import squareform

    order = sorted(range(len(swatches)), key=lambda i: _reading_key(swatches[i]))
    unlike = fabric_unlikeness([swatches[i] for i in order])
    merges = linkage(squareform(unlike.doubted, checks=False), "average")
    piles = fcluster(merges, MAX_UNLIKENESS, "distance")
    names: dict[int, str] = {}
    fabric = {}
    for place, pile in zip(order, piles, strict=True):
        fabric[place] = names.setdefault(int(pile), f"F{len(names) + 1:02d}")
    told = [replace(s, fabric=fabric[i]) for i, s in enumerate(swatches)]
    doubts = _doubts([told[i] for i in order], merges, unlike)
    return tuple(replace(s, flags=(*s.flags, *doubts.get(s.fabric, ()))) for s in told)


def _doubts(
    swatches: Sequence[Swatch], merges: Floats, unlike: Unlikeness
) -> dict[str, tuple[str, ...]]:
    """Return by fabric the flags of what its squares leave open, from how piles were joined."""
    piles = [_JoinedSquares((number,)) for number in range(len(swatches))]
    found: dict[str, dict[str, None]] = {}
    for one, two, height, _ in merges:
        if height >= SURELY_OTHER:
            break
        a, b = piles[int(one)], piles[int(two)]
        piles.append(a.joined(b, unlike))
        first, second = ({swatches[i].fabric for i in pile.squares} for pile in (a, b))
        if len(first | second) == 1:
            cloth = [swatches[i].busyness for i in piles[-1].squares]
            plain = float(np.median(cloth)) < PLAIN_SPREAD and height > SURE_PLAIN
            if plain or a.may_be_another(b, unlike):
                found.setdefault(first.pop(), {})[SEVERAL] = None
        elif len(first) == len(second) == 1:
            mine, other = first.pop(), second.pop()
            found.setdefault(mine, {})[MAY_BE + other] = None
            found.setdefault(other, {})[MAY_BE + mine] = None
    return {fabric: tuple(flags) for fabric, flags in found.items()}


@dataclass(frozen=True)
class _JoinedSquares:
    """Squares that were joined."""

    squares: tuple[int, ...]
    looks: float = 0.0
    """Sum of how far apart the looks of each two of them are."""

    def joined(self, other: _JoinedSquares, unlike: Unlikeness) -> _JoinedSquares:
        apart = float(unlike.looks[np.ix_(self.squares, other.squares)].sum())
        return _JoinedSquares(self.squares + other.squares, self.looks + other.looks + apart)

    def may_be_another(self, other: _JoinedSquares, unlike: Unlikeness) -> bool:
        """Tell whether only doubts keep two piles together, or their looks are two."""
        across = np.ix_(self.squares, other.squares)
        if float(unlike.plain[across].mean()) > SURELY_OTHER:
            return True
        if min(len(self.squares), len(other.squares)) < 2:
            return False
        within = max(
            2.0 * pile.looks / (len(pile.squares) * (len(pile.squares) - 1))
            for pile in (self, other)
        )
        further = max(MIN_TIMES_FURTHER * within, MIN_LOOKS_FURTHER)
        return float(unlike.looks[across].mean()) > further


def _reading_key(swatch: Swatch) -> tuple[bool, int, int, str]:
    row, col = swatch.square.row, swatch.square.col
    return row is None, row or 0, col or 0, swatch.label
