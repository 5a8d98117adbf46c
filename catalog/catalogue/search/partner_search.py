"""The best partner for a square across all bundles."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from catalog.catalogue.index.pairing_index import pairings_of
from catalog.catalogue.match_rules import match_rules
from catalog.catalogue.search.bundle_search import FoundSquare, found_squares, like_square
from catalog.catalogue.search.like_squares import Floats, most_alike
from catalog.catalogue.search.square_batches import SquareSearch, square_batches
from catalog.catalogue.store import digests
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
    search = SquareSearch(least_side=own.side, without=tuple(sorted(passed)))
    (said,) = pairings_of(connection, [own.bundle_id])
    likeness = match_rules(said.rules).likeness
    alike = replace(
        like_square(connection, square, likeness), doubts=partial(_doubts, own), cost=_worth
    )
    with digests.understood("some bundle"):
        batches = square_batches(connection, search, likeness.seen_from)
        best = most_alike(batches, alike, number)
    found = found_squares(connection, best["square"].tolist(), best["difference"].tolist())
    return tuple(
        Partner(one, float(row["difference"]), float(row["doubt"]), float(row["cost"]), likeness)
        for one, row in zip(found, best, strict=True)
    )


def _worth(difference: Floats, doubt: Floats) -> Floats:
    """Return the root of the expected square of the true difference."""
    return np.sqrt(difference**2 + SQUARE_OF_NINE_TENTHS * doubt**2)


def _doubts(own: FoundSquare, squares: NDArray[Any]) -> Floats:
    """Return by how much the difference of each square from one may be off.

    What the light of a photo leaves in doubt is the same for all its squares.
    """
    together = squares["photo"] == own.photo_id
    mine = np.where(together, own.own_uncertainty, own.uncertainty)
    theirs = np.where(together, squares["own_uncertainty"], squares["uncertainty"])
    judged = (mine > 0) & (theirs > 0)
    return np.where(judged, np.hypot(mine, theirs), 0.0)


def _spoken_for(connection: sqlite3.Connection, own: FoundSquare) -> Iterator[int]:
    """Return squares that may not be this one's partner."""
    with_locks = connection.execute(
        "select distinct bundle_id from deeds where kind in ('lock', 'swap') and not undone"
    ).fetchall()
    bundles = sorted({own.bundle_id, *(row[0] for row in with_locks)})
    for said in pairings_of(connection, bundles):
        for lock in said.locks:
            if own.id in lock:
                raise _locked(connection, own, lock)
            yield from lock
        for pair in said.forbidden:
            if own.id in pair:
                yield from pair


def _locked(
    connection: sqlite3.Connection, own: FoundSquare, lock: tuple[int, ...]
) -> CatalogueError:
    labels = " + ".join(one.label for one in found_squares(connection, lock))
    return CatalogueError(
        f"{own.label} of {own.bundle} has its set: {labels} is locked",
        f'unlock it first: calicount set unlock "{own.bundle}" {own.label}',
    )
