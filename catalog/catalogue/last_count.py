"""The sets of a bundle's last count, and which of them still hold."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from json import loads

from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.records import StoredBundle, StoredSquare
from catalog.catalogue.standing.standing_records import StandingSet
from catalog.catalogue.store import digests
from catalog.errors import CatalogueError
from catalog.phrases import quoted_if_spaced


@dataclass(frozen=True)
class CountedSet:
    """A set of a count that was kept."""

    number: int
    """As the count's files number it."""
    need: str
    squares: tuple[int, ...]
    """Numbers in the catalogue, the darkest first."""
    difference: float
    """Largest CIEDE2000 between two of them."""
    flags: tuple[str, ...]


@dataclass(frozen=True)
class LastCount:
    """The count of a bundle that was kept last."""

    at: str
    title: str
    pattern: str
    """Name or file of the pattern as it was typed; empty for sets alone."""
    sets: tuple[CountedSet, ...]


def last_count(catalogue: Catalogue, kept: StoredBundle) -> LastCount | None:
    """Return the count that was kept last; None where the bundle wasn't counted yet."""
    return catalogue.read(lambda sql: _last_count(sql, kept))


def _last_count(sql: sqlite3.Connection, kept: StoredBundle) -> LastCount | None:
    head = sql.execute(
        "select * from counts where bundle_id = ? order by id desc limit 1", (kept.id,)
    ).fetchone()
    if head is None:
        return None
    digests.refuse_broken(sql, kept.id, ("counts", digests.part_of_count(head["id"])))
    with digests.understood(kept.name):
        squares: dict[int, list[int]] = {}
        for number, square in sql.execute(
            "select number, square_id from set_squares where count_id = ? order by number, place",
            (head["id"],),
        ):
            squares.setdefault(number, []).append(square)
        rows = sql.execute(
            """select number, need, difference, flags from sets where count_id = ?
            order by number""",
            (head["id"],),
        )
        sets = tuple(
            CountedSet(number, need, tuple(squares.get(number, ())), away, tuple(loads(flags)))
            for number, need, away, flags in rows
        )
        return LastCount(head["at"], head["title"], head["pattern"], sets)


def chosen_set(catalogue: Catalogue, kept: StoredBundle, square: StoredSquare) -> tuple[int, ...]:
    """Return the set that a square is in by the present choice, as numbers.

    That is the locked set it is in, else the one that stands, else its set of the last count, as
    long as all of that are still free and nothing that was said since speaks against it.

    Raises
    ------
    CatalogueError
        It is in none.
    """
    state = kept.state
    locked = next((lock for lock in state.locks if square.id in lock), None)
    if locked is not None:
        return locked
    standing: tuple[StandingSet | CountedSet, ...] = state.standing.sets
    count = last_count(catalogue, kept)
    for one in (*standing, *(count.sets if count else ())):
        if square.id in one.squares and _still_holds(kept, one.squares):
            return one.squares
    raise CatalogueError(
        f"{square.label} is in no set that was chosen for {kept.name} as it is now",
        f"let the sets be chosen with: calicount count {quoted_if_spaced(kept.name)}",
    )


def not_free(kept: StoredBundle, numbers: tuple[int, ...]) -> tuple[str, ...]:
    """Say of each square that no set may use by now what keeps it, such as ``R1C2 is cut``."""
    found = []
    for number in numbers:
        square = kept.state.squares.get(number)
        if square is None:
            found.append("a square was taken back")
        elif not square.free:
            found.append(f"{square.label} is {square.why_not_free}")
    return tuple(found)


def _still_holds(kept: StoredBundle, squares: tuple[int, ...]) -> bool:
    elsewhere = {number for lock in kept.state.locks for number in lock}
    apart = any(a in squares and b in squares for a, b in kept.state.forbidden)
    return not (apart or elsewhere & set(squares) or not_free(kept, squares))
