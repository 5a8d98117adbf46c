"""Look through the squares of all bundles, by colour and by what else is known of them.

Colours are looked through in the index, and nothing but the rows that are shown is read whole, so
that a thousand bundles are looked through in the blink of an eye.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

import numpy as np

from catalog.bundle.square_differences import compared_palette
from catalog.catalogue.index.colour_index import refuse_changed
from catalog.catalogue.search.like_squares import LikeSquare, most_alike
from catalog.catalogue.search.near_colours import NearColour, nearest_by_colour
from catalog.catalogue.search.square_batches import ANY_FREE, SquareSearch, square_batches
from catalog.catalogue.store import digests
from catalog.catalogue.store.print_encoding import print_of
from catalog.models import USUAL_LIKENESS, Lab, Likeness, Palette, PrintLook, Value

PLAIN_COLUMNS: Final = (
    "bundle_id", "photo_id", "bundle", "label", "colour_name", "value", "fabric", "family", "state",
    "said", "uncertainty", "own_uncertainty",
)  # fmt: skip


@dataclass(frozen=True)
class FoundSquare:
    """A square of some bundle."""

    id: int
    bundle_id: int
    photo_id: int
    bundle: str
    side: Fraction
    label: str
    lab: Lab
    colour_name: str
    value: Value
    fabric: str
    family: str
    state: str
    """What keeps it from being used; empty where nothing does."""
    said: str
    """A name that a person gave it."""
    uncertainty: float
    own_uncertainty: float
    difference: float | None = None
    """CIEDE2000 from the colour that was asked for; None where none was."""
    by: NearColour | None = None
    """Which of a print's colours that is of; None for the square's mean."""
    palette: Palette = ()
    palette_at_wall: Palette = ()
    look: PrintLook | None = None
    """Its print, as in `catalog.models.Swatch`."""

    def seen_as(self, likeness: Likeness) -> Palette:
        """Return its palette as it is compared."""
        return self.palette_at_wall if likeness.seen_from == "wall" else self.palette


def search_squares(
    connection: sqlite3.Connection,
    colour: Lab | None,
    search: SquareSearch = ANY_FREE,
    number: int | None = None,
    *,
    like: int | None = None,
) -> tuple[FoundSquare, ...]:
    """Return squares of all bundles, nearest in colour first; without a colour, by bundle.

    Parameters
    ----------
    connection : sqlite3.Connection
        In a snapshot.
    colour : Lab, optional
        CIELAB D65.
    search : SquareSearch
    number : int, optional
        How many at most.
    like : int, optional
        A square of this mean colour, to which others are near as wholes; else they are by any of
        their colours, those that make up little of them coming later (see `nearness`).

    Returns
    -------
    tuple of FoundSquare
        Squares equally near come in the order of their bundles' names and of their places.
    """
    if colour is None:
        return found_squares(connection, _first(connection, search, number))
    with digests.understood("some bundle"):
        if like is None:
            near = nearest_by_colour(square_batches(connection, search, "hand"), colour, number)
        else:
            own = like_square(connection, like)
            near = most_alike(square_batches(connection, search, "wall"), own, number)
    found = found_squares(connection, near["square"].tolist(), near["difference"].tolist())
    return tuple(replace(one, by=_by(row)) for one, row in zip(found, near, strict=True))


def like_square(
    connection: sqlite3.Connection, square: int, likeness: Likeness = USUAL_LIKENESS
) -> LikeSquare:
    """Return what other squares are compared with to be as like a live square as can be."""
    (own,) = found_squares(connection, [square])
    return LikeSquare(compared_palette(own.seen_as(likeness), own.lab, likeness.match_by), likeness)


def _first(connection: sqlite3.Connection, search: SquareSearch, number: int | None) -> list[int]:
    """Return the first of the squares that a search asks for."""
    found: list[int] = []
    for batch in square_batches(connection, search):
        found += batch.squares["square"].tolist()
        if number is not None and len(found) >= number:
            break
    return found[:number]


def _by(row: np.void) -> NearColour | None:
    """Return the colour by which a square is near; None for its mean, or for all of them."""
    lightness, a, b = row["lab"].tolist()
    return NearColour((lightness, a, b), float(row["share"])) if row["of_print"] else None


def found_squares(
    connection: sqlite3.Connection, squares: Sequence[int], away: Sequence[float] | None = None
) -> tuple[FoundSquare, ...]:
    """Return live squares by their numbers, in this order, with differences if given.

    Raises
    ------
    CatalogueError
        What is kept of one isn't as calicount wrote it.
    """
    told = away if away is not None else [None] * len(squares)
    with digests.understood("some bundle"):
        rows = [_row_of(connection, number) for number in squares]
        by_bundle: dict[int, list[sqlite3.Row]] = {}
        for row in rows:
            by_bundle.setdefault(row["bundle_id"], []).append(row)
        for bundle, own in by_bundle.items():
            digests.refuse_broken(connection, bundle, ("bundle",))
            refuse_changed(connection, bundle, own)
        return tuple(
            _found_square(connection, row, difference)
            for row, difference in zip(rows, told, strict=True)
        )


def square_of(connection: sqlite3.Connection, bundle: int, label: str) -> int | None:
    """Return the number of a bundle's live square of a label; None for none."""
    row = connection.execute(
        "select square_id from swatches where bundle_id = ? and label = ?",
        (bundle, label.strip().upper()),
    ).fetchone()
    return row[0] if row else None


def _row_of(connection: sqlite3.Connection, number: int) -> sqlite3.Row:
    row: sqlite3.Row = connection.execute(
        "select * from swatches where square_id = ?", (number,)
    ).fetchone()
    return row


def _found_square(
    connection: sqlite3.Connection, row: sqlite3.Row, difference: float | None
) -> FoundSquare:
    beside = connection.execute(
        """select s.photo_id, n.name as bundle, n.side from squares s, bundles n
        where s.id = ? and n.id = ?""",
        (row["square_id"], row["bundle_id"]),
    ).fetchone()
    told = {**dict(row), **dict(beside)}
    palette, at_wall, look = print_of(told.get("print"))  # which an old catalogue has not
    return FoundSquare(
        id=told["square_id"],
        side=Fraction(told["side"]),
        lab=(told["lightness"], told["a"], told["b"]),
        difference=difference,
        palette=palette,
        palette_at_wall=at_wall,
        look=look,
        **{column: told[column] for column in PLAIN_COLUMNS},
    )
