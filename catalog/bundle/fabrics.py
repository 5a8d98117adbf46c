"""Swatches to which of them are cut from one fabric."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from catalog.bundle.fabric_unlikeness import Unlikeness, fabric_unlikeness
from catalog.models import Swatch

Floats = NDArray[np.float64]

MAX_UNLIKENESS = 1.0
"""Mean between two piles up to which they are one fabric."""
PLAIN_SPREAD = 5.0
"""Spread of a print (CIEDE2000) below which nothing but its colour tells it from another."""
SURE_PLAIN = 0.75
"""Unlikeness, mean between two piles, up to which plain ones are surely one fabric: 2.5 CIELAB
units of colour, which two squares of one cloth may be apart by their own doubts. On 25 photos with
truth plain piles joined beyond it were one fabric in 6 cases and several in 3, below it in 8 and
4 (those 4 in a bundle of creams, of which others are joined beyond it); prints were one in all 17.
`tests/bench/accuracy.py` has what is told (column ``fabrics``)."""
SURELY_OTHER = 1.15
"""Unlikeness from which two piles are surely two fabrics: of nine pairs of piles between 1 and it
six were one fabric, of 21 between it and 1.35 five."""
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
    piles = [[number] for number in range(len(swatches))]
    found: dict[str, dict[str, None]] = {}
    for one, two, height, _ in merges:
        if height >= SURELY_OTHER:
            break
        a, b = piles[int(one)], piles[int(two)]
        piles.append(a + b)
        first, second = ({swatches[i].fabric for i in pile} for pile in (a, b))
        plain = np.median([swatches[i].busyness for i in a + b]) < PLAIN_SPREAD
        open_ = (plain and height > SURE_PLAIN) or unlike.plain[np.ix_(a, b)].mean() > SURELY_OTHER
        if len(first | second) == 1 and open_:
            found.setdefault(first.pop(), {})[SEVERAL] = None
        elif len(first) == len(second) == 1 and first != second:
            mine, other = first.pop(), second.pop()
            found.setdefault(mine, {})[MAY_BE + other] = None
            found.setdefault(other, {})[MAY_BE + mine] = None
    return {fabric: tuple(flags) for fabric, flags in found.items()}


def _reading_key(swatch: Swatch) -> tuple[bool, int, int, str]:
    row, col = swatch.square.row, swatch.square.col
    return row is None, row or 0, col or 0, swatch.label
