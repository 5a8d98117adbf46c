"""By which of its colours each square is nearest to one that is asked for."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from catalog.bundle.naming.fabric_colours import ONE_COLOUR
from catalog.catalogue.index.colour_index import SCALES
from catalog.catalogue.search.nearest_squares import OFFERED, NearestSquares
from catalog.catalogue.search.square_batches import SquareBatch
from catalog.colour.ciede2000 import ciede2000
from catalog.colour.difference_bounds import least_ciede2000
from catalog.models import Lab

Floats = NDArray[np.float64]

COST_OF_SHARE: Final = 8.0
"""CIEDE2000 by which a colour counts as further away if it makes up a tenth of its square, twice
that for a hundredth: so a plain that is a visible step away (5 to 10, see
`catalog.bundle.tally_notes`) comes before a print that has the very colour in a tenth of it, and
one that is plainly another colour after it (choice of ours)."""
_PLAIN: Final = SCALES.index("plain")
_ONE_COLOUR: Final = [SCALES.index(scale) for scale in SCALES if scale in ONE_COLOUR]


@dataclass(frozen=True)
class NearColour:
    """The colour of a print by which it is near."""

    lab: Lab
    share: float
    """Of the square's cloth, 0-1."""


@dataclass(frozen=True, eq=False)
class _ComparedParts:
    """The colours by which the squares of a batch may be near."""

    owner: NDArray[np.intp]
    """(n,) place of the square in the batch."""
    lab: Floats
    share: Floats
    of_print: NDArray[np.bool_]
    """Whether it is one of several; else the mean of its square."""

    def at(self, some: NDArray[Any]) -> _ComparedParts:
        """Return some of them."""
        return _ComparedParts(
            self.owner[some], self.lab[some], self.share[some], self.of_print[some]
        )


def nearest_by_colour(
    batches: Iterable[SquareBatch], colour: Lab, number: int | None
) -> NDArray[Any]:
    """Return the squares that are nearest to a colour by any of theirs.

    Of a print its palette's colours count; of a tonal print its mean too; of a plain square, and of
    one kept without a palette, its mean alone.

    Parameters
    ----------
    batches : iterable of SquareBatch
        With the colours as they are seen in the hand.
    colour : Lab
        CIELAB D65.
    number : int, optional
        How many at most.

    Returns
    -------
    array of `catalog.catalogue.search.nearest_squares.OFFERED`
        The nearest first; the cost is the difference and what a small share costs.
    """
    nearest = NearestSquares(number)
    for batch in batches:
        colours = _colours(batch)
        if nearest.limit < np.inf:
            colours = colours.at(least_ciede2000(colour, colours.lab) <= nearest.limit)
        nearest.offer(_best(batch, colours, colour))
    return nearest.rows


def _colours(batch: SquareBatch) -> _ComparedParts:
    scale, owners = batch.squares["scale"], batch.owners
    plain = np.flatnonzero(np.isin(scale, _ONE_COLOUR))
    shown = (scale != _PLAIN)[owners] & (batch.colours[:, 3] > 0)
    return _ComparedParts(
        np.concatenate([plain, owners[shown]]),
        np.concatenate([batch.squares["lab"][plain], batch.colours[shown, :3]]),
        np.concatenate([np.ones(len(plain)), batch.colours[shown, 3]]),
        np.repeat([False, True], [len(plain), int(shown.sum())]),
    )


def _best(batch: SquareBatch, colours: _ComparedParts, colour: Lab) -> NDArray[Any]:
    """Return of each square the colour by which it is nearest."""
    away = ciede2000(np.array(colour), colours.lab)
    cost = away - COST_OF_SHARE * np.log10(colours.share)
    order = np.lexsort((cost, colours.owner))
    owner, first = np.unique(colours.owner[order], return_index=True)
    best = order[first]
    rows = np.zeros(len(best), OFFERED)
    rows["cost"], rows["difference"] = cost[best], away[best]
    rows["place"], rows["square"] = batch.places[owner], batch.squares["square"][owner]
    told = colours.at(best)
    rows["of_print"], rows["lab"], rows["share"] = told.of_print, told.lab, told.share
    return rows
