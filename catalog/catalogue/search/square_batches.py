"""Which squares are looked through, some thousands at a time, so that no catalogue is too large."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Any, Final

import msgspec
import numpy as np
from numpy.typing import NDArray

from catalog.catalogue.index.colour_index import COLOUR, SQUARE, VALUES, colours_of_bundles
from catalog.catalogue.store import digests
from catalog.models import NOT_COUNTED, SeenFrom, Value

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Numbers = NDArray[np.intp]

BATCH: Final = 8192
"""Squares from which on a batch is full: its temporaries stay in a processor's cache, and a batch
has 2 MB (2,000 to 16,000 take the same time)."""
READ_AT_ONCE: Final = 8
"""Bundles read with one query: half the time of one each, and those of thousands of squares still
make small batches."""
_USED: Final = (
    f"""select json_group_array(y.square_id) from set_squares y
        join sets t on t.count_id = y.count_id and t.number = y.number
    where y.count_id in ({{counts}}) and t.flags not like '%"{NOT_COUNTED}"%'""",
    """select json_group_array(w.square_id) from counts c cross join json_each(c.tally) l
        cross join json_each(case l.type when 'object' then l.value else '{{}}' end, '$.swatches') s
        cross join swatches w
    where c.id in ({counts}) and w.bundle_id = c.bundle_id and w.label = s.value""",
)
"""Squares that served a need of a count: in a set that counts, alone, or cut up for small pieces.
They come as one text, which is read in half the time of as many rows; the order of the joins is
given, as else every square is looked up for every count.
"""


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


ANY_FREE: Final = SquareSearch()


@dataclass(frozen=True, eq=False)
class SquareBatch:
    """Some of the squares that are looked through, in order."""

    squares: NDArray[Any]
    """(n,) of `catalog.catalogue.index.colour_index.SQUARE`."""
    counts: Numbers
    """(n,) how many colours each has."""
    colours: Floats
    """(m, 4) L*, a*, b* and share of these, square by square."""
    places: Numbers
    """(n,) among all that are looked through."""

    @property
    def owners(self) -> Numbers:
        """(m,) whose each colour is."""
        return np.repeat(np.arange(len(self.squares)), self.counts)

    def at(self, some: Numbers) -> SquareBatch:
        """Return some of them, in this order, each once."""
        if np.array_equal(some, np.arange(len(self.squares))):
            return self
        counts, starts = self.counts[some], (np.cumsum(self.counts) - self.counts)[some]
        before = np.cumsum(counts) - counts
        colours = np.arange(counts.sum()) + np.repeat(starts - before, counts)
        return SquareBatch(
            self.squares.take(some), counts, self.colours.take(colours, axis=0), self.places[some]
        )


def square_batches(
    connection: sqlite3.Connection, search: SquareSearch, seen_from: SeenFrom | None = None
) -> Iterator[SquareBatch]:
    """Yield the squares of the bundles that a search asks for, by the bundles' names and places.

    Parameters
    ----------
    connection : sqlite3.Connection
        In a snapshot.
    search : SquareSearch
    seen_from : {"wall", "hand"}, optional
        As which their prints' colours are seen; none for None.

    Raises
    ------
    CatalogueError
        Nobody can understand some bundle's rows.
    """
    with digests.understood("some bundle"):
        first, many = 0, 0
        waiting: list[tuple[int, memoryview, memoryview]] = []
        bundles = _bundles(connection, search)
        for start in range(0, len(bundles), READ_AT_ONCE):
            some = bundles[start : start + READ_AT_ONCE]
            for bundle, packed in zip(
                some, colours_of_bundles(connection, some, seen_from), strict=True
            ):
                waiting.append((bundle, *packed))
                many += len(packed[0]) // SQUARE.itemsize
            if many >= BATCH:
                yield _batch(connection, search, waiting, seen_from, first)
                first, many, waiting = first + many, 0, []
        if many:
            yield _batch(connection, search, waiting, seen_from, first)


def _batch(
    connection: sqlite3.Connection,
    search: SquareSearch,
    packed: Sequence[tuple[int, memoryview, memoryview]],
    seen_from: SeenFrom | None,
    first: int,
) -> SquareBatch:
    """Return the squares of some bundles that are asked for; ``first``: place of the first."""
    squares = np.frombuffer(b"".join(one[1] for one in packed), SQUARE)
    colours = np.frombuffer(b"".join(one[2] for one in packed), np.float64).reshape(-1, COLOUR)
    counts = squares[seen_from].astype(np.intp) if seen_from else np.zeros(len(squares), np.intp)
    told = [squares[name] for name in ("lab", "uncertainty", "own_uncertainty")]
    if counts.sum() != len(colours) or not all(np.isfinite(one).all() for one in (*told, colours)):
        raise ValueError("expected finite numbers")
    whole = SquareBatch(squares, counts, colours, first + np.arange(len(squares)))
    wanted = _wanted(connection, search, squares, [one[0] for one in packed])
    return whole.at(np.flatnonzero(wanted))


def _wanted(
    connection: sqlite3.Connection,
    search: SquareSearch,
    squares: NDArray[Any],
    bundles: Sequence[int],
) -> Flags:
    """Return which squares a search asks for, (n,)."""
    wanted = np.ones(len(squares), np.bool_)
    numbers = squares["square"]
    if not search.used_too:
        wanted &= squares["free"] > 0
    if search.value is not None:
        wanted &= squares["value"] == VALUES.index(search.value)
    if search.without:
        wanted &= ~np.isin(numbers, search.without)
    if search.fabric is not None:
        rows = connection.execute(
            "select square_id from swatches where bundle_id = ? and fabric = ?", search.fabric
        )
        wanted &= np.isin(numbers, [row[0] for row in rows])
    if search.left_over:
        wanted &= ~np.isin(numbers, _used(connection, bundles))
    return wanted


def _used(connection: sqlite3.Connection, bundles: Sequence[int]) -> Numbers:
    """Return the squares that served a need of the last count of any of some bundles."""
    several = ", ".join(map(str, bundles))
    last = connection.execute(
        f"select max(id) from counts where bundle_id in ({several}) group by bundle_id"
    ).fetchall()
    counts = ", ".join(str(row[0]) for row in last)
    told = [connection.execute(query.format(counts=counts)).fetchone()[0] for query in _USED]
    return np.array([one for text in told for one in msgspec.json.decode(text)], np.intp)


def _bundles(connection: sqlite3.Connection, search: SquareSearch) -> tuple[int, ...]:
    """Return the bundles that a search asks for, by name."""
    rows = connection.execute("select id, side from bundles order by name collate nocase")
    sides = cache(Fraction)  # of a thousand bundles nearly all have the same
    found = [(row[0], sides(row[1])) for row in rows]
    if search.left_over:
        counted = {row[0] for row in connection.execute("select distinct bundle_id from counts")}
        found = [one for one in found if one[0] in counted]
    only = {search.bundle, search.fabric[0] if search.fabric else None} - {None}
    return tuple(
        number
        for number, side in found
        if all(number == one for one in only)
        and (search.side is None or side == search.side)
        and (search.least_side is None or side >= search.least_side)
    )
