"""The best partner for a square across all bundles."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

import numpy as np

from catalog.catalogue.match_rules import match_rules
from catalog.catalogue.search.bundle_search import (
    Floats,
    FoundSquare,
    SquareSearch,
    found_squares,
    matching_rows,
)
from catalog.catalogue.search.near_colours import differences_from_square
from catalog.catalogue.store import digests, row_reading
from catalog.errors import CatalogueError
from catalog.models import USUAL_LIKENESS, Likeness

SQUARE_OF_NINE_TENTHS: Final = 3 / 2.5**2
"""Expected square of an error, over the square of the distance that it keeps within nine times in
ten: three axes, each with a standard deviation of 1/2.5 of that (chi distribution, 3 degrees of
freedom)."""


@dataclass(frozen=True)
class Partner:
    """A square that another could make a set with."""

    square: FoundSquare
    difference: float
    """CIEDE2000 between the two, by what the first one's bundle matches by."""
    doubt: float
    """CIEDE2000 by which that may be off, nine times in ten; 0 where it wasn't judged."""
    worth: float
    """Root of the expected square of the true difference: those in doubt count less."""
    likeness: Likeness = USUAL_LIKENESS
    """By what they were compared."""


def partners_of(
    connection: sqlite3.Connection, square: int, number: int | None = None
) -> tuple[Partner, ...]:
    """Return the free squares of all bundles that go best with one, the best first.

    Parameters
    ----------
    connection : sqlite3.Connection
        In a snapshot.
    square : int
        A live square's number.
    number : int, optional
        How many at most.

    Returns
    -------
    tuple of Partner
        As large as the square or larger; neither in a locked set nor forbidden with it.

    Raises
    ------
    CatalogueError
        The square is of another set already, or can't be used.
    """
    (own,) = found_squares(connection, [square])
    if own.state:
        raise CatalogueError(
            f"{own.label} of {own.bundle} is {own.state}",
            "name a square that can be used, or look for its like with calicount near",
        )
    passed = {square, *_spoken_for(connection, own)}
    table = matching_rows(
        connection, SquareSearch(least_side=own.side, without=tuple(sorted(passed)))
    )
    rules = row_reading.state_of(row_reading.record(connection, own.bundle_id)).rules
    likeness = match_rules(rules).likeness
    with digests.understood("some bundle"):
        difference = differences_from_square(connection, table, square, own.lab, likeness)
    doubt = _doubts(own, table)
    worth = np.sqrt(difference**2 + SQUARE_OF_NINE_TENTHS * doubt**2)
    best = np.argsort(worth, kind="stable")[:number]
    found = found_squares(
        connection, [int(one) for one in table[best, 0]], difference[best].tolist()
    )
    return tuple(
        Partner(one, float(difference[place]), float(doubt[place]), float(worth[place]), likeness)
        for one, place in zip(found, best, strict=True)
    )


def _doubts(own: FoundSquare, table: Floats) -> Floats:
    """Return by how much the difference of each square from one may be off.

    What the light of a photo leaves in doubt is the same for all its squares.
    """
    together = table[:, 6] == own.photo_id
    mine = np.where(together, own.own_uncertainty, own.uncertainty)
    theirs = np.where(together, table[:, 5], table[:, 4])
    judged = (mine > 0) & (theirs > 0)
    return np.where(judged, np.hypot(mine, theirs), 0.0)


def _spoken_for(connection: sqlite3.Connection, own: FoundSquare) -> Iterable[int]:
    """Return squares that may not be this one's partner."""
    with_locks = connection.execute(
        "select distinct bundle_id from deeds where kind in ('lock', 'swap') and not undone"
    )
    for number in {own.bundle_id, *(row[0] for row in with_locks)}:
        state = row_reading.state_of(row_reading.record(connection, number))
        for lock in state.locks:
            if own.id in lock:
                labels = " + ".join(state.squares[one].label for one in lock)
                raise CatalogueError(
                    f"{own.label} of {own.bundle} has its set: {labels} is locked",
                    f'unlock it first: calicount set unlock "{own.bundle}" {own.label}',
                )
            yield from lock
        for pair in state.forbidden:
            if own.id in pair:
                yield from pair
