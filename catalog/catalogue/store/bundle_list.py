"""The bundles of a catalogue: found by name or number, and listed."""

from __future__ import annotations

import sqlite3
import unicodedata
from dataclasses import dataclass
from fractions import Fraction

from catalog.catalogue.store import digests
from catalog.catalogue.store.photo_rows import STANDING_PHOTOS
from catalog.errors import CatalogueError
from catalog.phrases import printable


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
    for (number,) in connection.execute("select id from bundles").fetchall():
        digests.refuse_broken(connection, number, ("bundle",))
    with digests.understood("the bundles"):
        return _lines(connection)


def _lines(connection: sqlite3.Connection) -> tuple[BundleLine, ...]:
    projects: dict[int, list[str]] = {}
    for bundle, state in connection.execute(
        "select distinct bundle_id, state from swatches where state like 'reserved for %'"
    ):
        projects.setdefault(bundle, []).append(state.removeprefix("reserved for "))
    rows = connection.execute(
        f"""select b.id, b.name, b.side, b.added_at, b.version,
            (select count(*) from ({STANDING_PHOTOS}) p where p.bundle_id = b.id) as photos,
            (select count(*) from swatches s where s.bundle_id = b.id) as squares,
            (select count(*) from swatches s where s.bundle_id = b.id and s.state = '') as free
        from bundles b order by b.name collate nocase"""
    )
    return tuple(
        BundleLine(**{
            **dict(row),
            "side": Fraction(row["side"]),
            "projects": tuple(sorted(projects.get(row["id"], []))),
        })
        for row in rows
    )  # fmt: skip
