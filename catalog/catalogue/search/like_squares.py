"""Which squares look most like one, their prints as wholes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from catalog.bundle.square_differences import compared_palette
from catalog.catalogue.search.compared_colours import (
    ComparedColours,
    compared_colours,
    least_between_means,
    least_carried,
)
from catalog.catalogue.search.nearest_squares import OFFERED, NearestSquares
from catalog.catalogue.search.square_batches import SquareBatch
from catalog.colour.ciede2000 import ciede2000
from catalog.colour.difference_bounds import least_ciede2000
from catalog.colour.palette_difference import palette_differences
from catalog.models import Likeness, Palette, PaletteColour

Floats = NDArray[np.float64]

TRIED_AT_ONCE: Final = 64
"""Squares whose prints are compared at once, the likeliest first: fewer cost more calls, more are
compared in vain (32 to 128 take the same time)."""
BOUNDED_AT_ONCE: Final = 1024
"""Squares whose colours' differences are worked out at once, likewise: of the first batch the
others are told by bounds then (512 to 2,048 take the same time)."""


Bound = Callable[["LikeSquare", ComparedColours], Floats]
"""Colours of n squares to what each one's difference is at least, (n,)."""


def _sure(squares: NDArray[Any]) -> Floats:
    return np.zeros(len(squares))


def _difference(difference: Floats, _: Floats) -> Floats:
    return difference


@dataclass(frozen=True, eq=False)
class LikeSquare:
    """What other squares are compared with, and how they are sorted."""

    palette: Palette
    """As compared: see `catalog.bundle.square_differences.compared_palette`."""
    likeness: Likeness
    doubts: Callable[[NDArray[Any]], Floats] = _sure
    """Squares, of `catalog.catalogue.index.colour_index.SQUARE`, to the CIEDE2000 by which each
    one's difference may be off."""
    cost: Callable[[Floats, Floats], Floats] = _difference
    """Differences and doubts to what the squares are sorted by: the more, the larger either."""


def most_alike(batches: Iterable[SquareBatch], one: LikeSquare, number: int | None) -> NDArray[Any]:
    """Return the squares that cost least, (k,) of `OFFERED`.

    Prints are compared only where what their difference is at least would do, which is told by
    their means first, then by bounds of their colours' differences, then by these themselves.

    Parameters
    ----------
    batches : iterable of SquareBatch
        With the colours as the likeness sees them.
    one : LikeSquare
    number : int, optional
        How many at most.
    """
    nearest = NearestSquares(number)
    for batch in batches:
        some, _ = _likely(batch, one, _by_means, nearest.limit)
        if nearest.limit == np.inf:  # a few tell how near the others have to be
            few = max(TRIED_AT_ONCE, number or len(some.squares))
            nearest.offer(_offered(some.at(np.arange(len(some.squares))[:few]), one))
            some = some.at(np.arange(len(some.squares))[few:])
        some, least = _likely(some, one, _by_bounds, nearest.limit)
        for part in _parts(some, least, BOUNDED_AT_ONCE, nearest):
            likely, told = _likely(part, one, _by_differences, nearest.limit)
            for chosen in _parts(likely, told, max(TRIED_AT_ONCE, number or len(told)), nearest):
                nearest.offer(_offered(chosen, one))
    return nearest.rows


def _parts(
    batch: SquareBatch, least: Floats, size: int, nearest: NearestSquares
) -> Iterator[SquareBatch]:
    """Yield what may be near enough by then of squares, the likeliest first, so many at once."""
    for start in range(0, len(least), size):
        near = start + np.flatnonzero(least[start : start + size] <= nearest.limit)
        if not len(near):
            return
        yield batch.at(near)


def _likely(
    batch: SquareBatch, one: LikeSquare, least: Bound, limit: float
) -> tuple[SquareBatch, Floats]:
    """Return the squares that may be within a limit, the likeliest first, and their least costs."""
    if not len(batch.squares):
        return batch, np.empty(0)
    told = compared_colours(batch, one.likeness.match_by)
    cost = one.cost(least(one, told), one.doubts(batch.squares))
    order = np.argsort(cost, kind="stable")
    order = order[cost[order] <= limit]
    return batch.at(order), cost[order]


def _by_means(one: LikeSquare, told: ComparedColours) -> Floats:
    return least_between_means(one.palette, told, one.likeness.k_lightness)


def _by_bounds(one: LikeSquare, told: ComparedColours) -> Floats:
    weight = one.likeness.k_lightness
    away = np.array([least_ciede2000(own.lab, told.lab, weight) for own in one.palette])
    return least_carried(one.palette, told, away)


def _by_differences(one: LikeSquare, told: ComparedColours) -> Floats:
    own = np.array([part.lab for part in one.palette])
    away = ciede2000(own[:, None], told.lab, one.likeness.k_lightness)
    return least_carried(one.palette, told, away)


def _offered(batch: SquareBatch, one: LikeSquare) -> NDArray[Any]:
    """Return the squares of a batch, compared."""
    ends = np.cumsum(batch.counts)
    palettes = [
        _compared(batch.colours[end - count : end], mean, one.likeness)
        for end, count, mean in zip(ends, batch.counts, batch.squares["lab"], strict=True)
    ]
    rows = np.zeros(len(palettes), OFFERED)
    rows["difference"] = palette_differences(one.palette, palettes, one.likeness.k_lightness)
    rows["doubt"] = one.doubts(batch.squares)
    rows["cost"] = one.cost(rows["difference"], rows["doubt"])
    rows["place"], rows["square"] = batch.places, batch.squares["square"]
    return rows


def _compared(colours: Floats, mean: Floats, likeness: Likeness) -> Palette:
    """Return what is compared of a square with some colours (n, 4), or its mean."""
    seen = tuple(PaletteColour((one, a, b), share) for one, a, b, share in colours.tolist())
    lightness, a, b = mean.tolist()
    return compared_palette(seen, (lightness, a, b), likeness.match_by)
