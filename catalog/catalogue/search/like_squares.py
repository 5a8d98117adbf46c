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
    least_left,
)
from catalog.catalogue.search.nearest_squares import OFFERED, NearestSquares
from catalog.catalogue.search.square_batches import SquareBatch
from catalog.colour.ciede2000 import ciede2000
from catalog.colour.palette_difference import palette_differences
from catalog.models import Likeness, Palette, PaletteColour

Floats = NDArray[np.float64]

TRIED_AT_ONCE: Final = 64
"""Squares whose prints are compared at once, the likeliest first: fewer cost more calls, more are
compared in vain (32 to 128 take the same time)."""
BOUNDED_AT_ONCE: Final = 2048
"""Squares whose colours' differences are worked out at once, likewise: of the first batch the
others are told by their means then."""
HEAVY: Final = 0.5
"""Share of a print that its heaviest colours make up, by which most other squares are told: all of
its colours take some times as long."""


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


@dataclass(frozen=True, eq=False)
class _LikelySquares:
    """Squares of a batch that may be near enough."""

    one: LikeSquare
    """To which."""
    places: NDArray[np.intp]
    """(n,) in the batch."""
    told: ComparedColours
    doubts: Floats
    """(n,) see `LikeSquare`."""

    def parts(self, least: Bound, size: int, nearest: NearestSquares) -> Iterator[_LikelySquares]:
        """Yield those that a bound leaves, the likeliest first, so many at once."""
        cost = self.one.cost(least(self.one, self.told), self.doubts)
        order = np.argsort(cost, kind="stable")
        for start in range(0, len(order), size):
            some = order[start : start + size]
            some = some[cost[some] <= nearest.limit]
            if not len(some):
                return
            yield self._at(some)

    def _at(self, some: NDArray[np.intp]) -> _LikelySquares:
        return _LikelySquares(self.one, self.places[some], self.told.at(some), self.doubts[some])


def most_alike(batches: Iterable[SquareBatch], one: LikeSquare, number: int | None) -> NDArray[Any]:
    """Return the squares that cost least, (k,) of `OFFERED`.

    Prints are compared only where what their difference is at least would do, which is told by
    their means first, then by their heaviest colours, then by all of these.

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
        tried = max(TRIED_AT_ONCE, number or len(batch.squares))
        for part in _all_of(batch, one).parts(_by_means, BOUNDED_AT_ONCE, nearest):
            for some in part.parts(_by_heaviest, BOUNDED_AT_ONCE, nearest):
                for chosen in some.parts(_by_differences, tried, nearest):
                    nearest.offer(_offered(batch.at(chosen.places), one))
    return nearest.rows


def _all_of(batch: SquareBatch, one: LikeSquare) -> _LikelySquares:
    told = compared_colours(batch, one.likeness.match_by)
    return _LikelySquares(one, np.arange(len(batch.squares)), told, one.doubts(batch.squares))


def _by_means(one: LikeSquare, told: ComparedColours) -> Floats:
    return least_between_means(one.palette, told, one.likeness.k_lightness)


def _by_heaviest(one: LikeSquare, told: ComparedColours) -> Floats:
    shares = np.array([part.share for part in one.palette])
    shares /= shares.sum()
    order = np.argsort(-shares, kind="stable")
    heavy = order[: 1 + np.searchsorted(np.cumsum(shares[order]), HEAVY)]
    return least_left(shares[heavy], told, _away(one, told, heavy))


def _by_differences(one: LikeSquare, told: ComparedColours) -> Floats:
    shares = np.array([part.share for part in one.palette])
    return least_carried(shares, told, _away(one, told, np.arange(len(shares))))


def _away(one: LikeSquare, told: ComparedColours, colours: NDArray[np.intp]) -> Floats:
    """Return the differences of some of its colours from those of the others, (k, m)."""
    own = np.array([part.lab for part in one.palette])[colours]
    return ciede2000(own[:, None], told.lab, one.likeness.k_lightness)


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
