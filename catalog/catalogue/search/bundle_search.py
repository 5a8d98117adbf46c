"""Look through the squares of all bundles, by colour and by what else is known of them.

Colours are compared all at once, and nothing but the rows that are shown is read whole, so that a
hundred bundles are looked through in the blink of an eye.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.catalogue.search.near_colours import (
    NearColour,
    Nearness,
    differences_from_square,
    nearness,
)
from catalog.catalogue.store import digests
from catalog.catalogue.store.print_encoding import print_of
from catalog.models import NOT_COUNTED, Lab, Palette, PrintLook, Value

Floats = NDArray[np.float64]

LAST: Final = "(select max(id) from counts group by bundle_id)"
PLAIN_COLUMNS: Final = (
    "bundle_id", "photo_id", "bundle", "label", "colour_name", "value", "fabric", "family", "state",
    "said", "uncertainty", "own_uncertainty",
)  # fmt: skip
LEFT_OVER: Final = f"""w.bundle_id in (select bundle_id from counts)
    and w.square_id not in (
        select y.square_id from set_squares y
            join sets t on t.count_id = y.count_id and t.number = y.number
        where y.count_id in {LAST} and t.flags not like '%"{NOT_COUNTED}"%')
    and (w.bundle_id, w.label) not in (
        select c.bundle_id, s.value from counts c, json_each(c.tally) l,
            json_each(case l.type when 'object' then l.value else '{{}}' end, '$.swatches') s
        where c.id in {LAST})"""
"""Holds of a square of a counted bundle that served no need of the last count: neither in a set
that counts nor alone, nor cut up for small pieces."""


@dataclass(frozen=True)
class SquareSearch:
    """Which squares are looked through."""

    bundle: int | None = None
    value: Value | None = None
    """Relative to its own bundle."""
    fabric: tuple[int, str] | None = None
    """A bundle and one of its fabrics."""
    side: Fraction | None = None
    """What the squares measure, inches."""
    least_side: Fraction | None = None
    """What they measure at least."""
    used_too: bool = False
    """Whether those that no set may use are looked through as well."""
    left_over: bool = False
    """Whether only those are that nothing of their bundle's last count uses; a bundle that was
    never counted has none."""
    without: tuple[int, ...] = ()
    """Squares that are passed over."""


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


def search_squares(
    connection: sqlite3.Connection,
    colour: Lab | None,
    search: SquareSearch = SquareSearch(),
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
    table = matching_rows(connection, search)
    if colour is None:
        return found_squares(connection, table[:number, 0].astype(int).tolist())
    with digests.understood("some bundle"):
        if like is None:
            near = nearness(connection, table, colour)
        else:
            away = differences_from_square(connection, table, like, colour)
            near = Nearness(away, away, (None,) * len(away))
    order = np.argsort(near.cost, kind="stable")[:number]
    squares = table[order, 0].astype(int).tolist()
    found = found_squares(connection, squares, near.difference[order].tolist())
    return tuple(replace(one, by=near.by[at]) for one, at in zip(found, order, strict=True))


def matching_rows(connection: sqlite3.Connection, search: SquareSearch) -> Floats:
    """Return the squares that a search asks for, (n, 7), by bundle and place.

    The columns are the square's number, L*, a*, b*, its uncertainty, its own uncertainty and its
    photo's number.
    """
    with digests.understood("some bundle"):
        return _matching_rows(connection, search)


def _matching_rows(connection: sqlite3.Connection, search: SquareSearch) -> Floats:
    bundles = _bundles(connection, search)
    wheres, given = _wheres(search)
    wheres.append(f"w.bundle_id in ({', '.join('?' * len(bundles))})")
    rows = connection.execute(
        f"""select w.square_id, w.lightness, w.a, w.b, w.uncertainty, w.own_uncertainty,
            s.photo_id, w.bundle_id, w.place
        from swatches w join squares s on s.id = w.square_id where {" and ".join(wheres)}""",
        (*given, *bundles),
    ).fetchall()
    table = np.array([tuple(row) for row in rows], np.float64).reshape(-1, 9)
    if not np.isfinite(table).all():
        raise ValueError("expected finite numbers")
    rank = {number: place for place, number in enumerate(bundles)}
    shelf = np.array([rank[int(number)] for number in table[:, 7]], np.float64)
    return table[np.lexsort((table[:, 8], shelf)), :7]


def found_squares(
    connection: sqlite3.Connection, squares: Sequence[int], away: Sequence[float] | None = None
) -> tuple[FoundSquare, ...]:
    """Return live squares by their numbers, in this order, with differences if given."""
    told = away if away is not None else [None] * len(squares)
    with digests.understood("some bundle"):
        found = tuple(
            _found_square(connection, number, difference)
            for number, difference in zip(squares, told, strict=True)
        )
    for bundle in dict.fromkeys(one.bundle_id for one in found):
        digests.refuse_broken(connection, bundle, ("bundle", "swatches"))
    return found


def square_of(connection: sqlite3.Connection, bundle: int, label: str) -> int | None:
    """Return the number of a bundle's live square of a label; None for none."""
    row = connection.execute(
        "select square_id from swatches where bundle_id = ? and label = ?",
        (bundle, label.strip().upper()),
    ).fetchone()
    return row[0] if row else None


def _wheres(search: SquareSearch) -> tuple[list[str], list[int | str]]:
    """Return the conditions that a square fulfils, and their values."""
    wheres: list[str] = []
    given: list[int | str] = []
    if not search.used_too:
        wheres.append("w.state = ''")
    if search.left_over:
        wheres.append(LEFT_OVER)
    if search.value is not None:
        wheres.append("w.value = ?")
        given.append(search.value)
    if search.fabric is not None:
        wheres.append("w.bundle_id = ? and w.fabric = ?")
        given.extend(search.fabric)
    if search.without:
        wheres.append(f"w.square_id not in ({', '.join('?' * len(search.without))})")
        given.extend(search.without)
    return wheres, given


def _bundles(connection: sqlite3.Connection, search: SquareSearch) -> tuple[int, ...]:
    """Return the bundles that a search asks for, by name."""
    rows = connection.execute("select id, side from bundles order by name collate nocase")
    found = [(row[0], Fraction(row[1])) for row in rows]
    return tuple(
        number
        for number, side in found
        if (search.bundle is None or number == search.bundle)
        and (search.side is None or side == search.side)
        and (search.least_side is None or side >= search.least_side)
    )


def _found_square(
    connection: sqlite3.Connection, number: int, difference: float | None
) -> FoundSquare:
    row = connection.execute(
        """select w.*, s.photo_id, n.name as bundle, n.side
        from swatches w join squares s on s.id = w.square_id join bundles n on n.id = w.bundle_id
        where w.square_id = ?""",
        (number,),
    ).fetchone()
    told = dict(row)
    palette, at_wall, look = print_of(told.get("print"))  # which an old catalogue has not
    return FoundSquare(
        id=number,
        side=Fraction(told["side"]),
        lab=(told["lightness"], told["a"], told["b"]),
        difference=difference,
        palette=palette,
        palette_at_wall=at_wall,
        look=look,
        **{column: told[column] for column in PLAIN_COLUMNS},
    )
