"""The bundles of a catalogue: found by name or number, and listed."""

from __future__ import annotations

import sqlite3
import unicodedata
from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from catalog.catalogue.store import digests
from catalog.errors import CatalogueError
from catalog.phrases import printable

RESERVED: Final = "reserved for "
"""How the state of a square begins that is set aside for a project."""


@dataclass(frozen=True)
class BundleLine:
    """A bundle in a list."""

    name: str
    side: Fraction
    photos: int
    """Without those that were taken out."""
    squares: int
    free: int
    """Squares that a set may use."""
    projects: tuple[str, ...]
    added_at: str
    version: int
    id: int = 0


def bundle_id(connection: sqlite3.Connection, name: str) -> int:
    """Return a bundle's number, its name in any case.

    Raises
    ------
    CatalogueError
        There is none; names those that come nearest.
    """
    number = known_id(connection, tidy(name))
    if number is not None:
        return number
    import difflib

    found = connection.execute("select name from bundles order by name")
    names = [str(one["name"]) for one in found]
    if not names:
        raise CatalogueError(
            f"no bundle is kept yet, so there is no '{name}'",
            "keep one with: calicount add NAME PHOTO",
        )
    told = ", ".join(difflib.get_close_matches(name, names, 3, 0.4) or names[:5])
    raise CatalogueError(
        f"no bundle is called '{name}'", f"calicount bundles lists them; perhaps you mean {told}"
    )


def known_id(connection: sqlite3.Connection, name: str) -> int | None:
    """Return the number of the bundle of a name as it is kept, in any case; None for none."""
    row = connection.execute("select id from bundles where name = ?", (name,)).fetchone()
    return int(row["id"]) if row else None


def known_side(connection: sqlite3.Connection, name: str) -> Fraction | None:
    """Return what the squares of the bundle of a name measure, inches; None for no bundle."""
    row = connection.execute("select side from bundles where name = ?", (name,)).fetchone()
    return Fraction(row["side"]) if row else None


def tidy(name: str) -> str:
    """Return a bundle's name as it is kept."""
    # An accent may be a sign of its own, as in the names of files on a Mac.
    composed = unicodedata.normalize("NFC", name)
    return " ".join(printable(composed, " ").split())


def fit_name(name: str, what: str = "a bundle") -> str:
    """Return the name of a bundle, or of something else, as it is kept.

    Raises
    ------
    CatalogueError
        It can't be kept.
    """
    tidied = tidy(name)
    if not 1 <= len(tidied) <= 80:
        raise CatalogueError(
            f"{what} can't be called '{tidied[:80]}'", "choose a name of 1 to 80 letters"
        )
    if tidied.startswith("-"):
        raise CatalogueError(
            f"{what} can't be called '{tidied}', which reads like an option",
            "choose a name that doesn't begin with a dash",
        )
    return tidied


def head(connection: sqlite3.Connection, number: int) -> tuple[str, int]:
    """Return the name and version of the bundle of a number.

    Raises
    ------
    CatalogueError
        There is none.
    """
    row = connection.execute("select name, version from bundles where id = ?", (number,)).fetchone()
    if row is None:
        raise CatalogueError("that bundle has been removed", "calicount bundles lists what is kept")
    return row["name"], row["version"]


def versions(connection: sqlite3.Connection) -> dict[int, int]:
    """Return the version of each bundle, by number."""
    return dict(connection.execute("select id, version from bundles order by id").fetchall())


def lines(connection: sqlite3.Connection) -> tuple[BundleLine, ...]:
    """List the bundles by name."""
    digests.refuse_broken_bundles(connection)
    with digests.understood("the bundles"):
        return _lines(connection)


def _lines(connection: sqlite3.Connection) -> tuple[BundleLine, ...]:
    squares, free, projects = _squares(connection)
    photos = _standing_photos(connection)
    rows = connection.execute(
        "select id, name, side, added_at, version from bundles order by name collate nocase"
    )
    return tuple(
        BundleLine(**{
            **dict(row),
            "side": Fraction(row["side"]),
            "photos": photos[row["id"]],
            "squares": squares[row["id"]],
            "free": free[row["id"]],
            "projects": tuple(sorted(projects.get(row["id"], []))),
        })
        for row in rows
    )  # fmt: skip


def _squares(
    connection: sqlite3.Connection,
) -> tuple[Counter[int], Counter[int], dict[int, list[str]]]:
    """Count each bundle's squares, and the free ones; and name what others are set aside for."""
    squares, free = Counter[int](), Counter[int]()
    projects: dict[int, list[str]] = {}
    for bundle, state, count in connection.execute(
        "select bundle_id, state, count(*) from swatches group by bundle_id, state"
    ):
        squares[bundle] += count
        if state == "":
            free[bundle] += count
        elif state.startswith(RESERVED):
            projects.setdefault(bundle, []).append(state.removeprefix(RESERVED))
    return squares, free, projects


def _standing_photos(connection: sqlite3.Connection) -> Counter[int]:
    """Count each bundle's photos without those that were taken out."""
    photos = Counter(
        dict(
            connection.execute(
                "select bundle_id, count(*) from photos group by bundle_id"
            ).fetchall()
        )
    )
    out = connection.execute(
        """select p.bundle_id, count(distinct p.id) from deeds d join photos p
            on p.id = json_extract(d.args, '$.photo') and p.bundle_id = d.bundle_id
        where d.kind = 'drop photo' and not d.undone group by p.bundle_id"""
    ).fetchall()
    photos.subtract(dict(out))
    return photos
