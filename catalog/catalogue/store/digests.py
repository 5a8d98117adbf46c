"""A digest of everything that is kept, by which whatever else changed any of it is found.

Each part of a bundle has its digest, written with the part in one transaction; a photo's file has
its own, which is among the part ``photos``.
"""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any, Final

from catalog.errors import CalicountError, CatalogueError

DIGESTS_SINCE: Final = 2
"""Version of the tables from which on there are seals; see `catalog.catalogue.store.schema`."""
PRINTS_SINCE: Final = 3
"""Version from which on swatches have a column more, their last, that says what their prints are
like; none where they were measured before."""
PARTS: Final[Mapping[str, str]] = {
    "bundle": "select * from bundles where id = ?",
    "photos": """select id, bundle_id, number, name, digest, wide, high, cut_off, pixels_per_inch,
        added_at, file_digest from photos where bundle_id = ? order by number, id""",
    "lights": """select id, light, evidence, expected_error, unevenness, measured_from
        from photos where bundle_id = ? order by number, id""",
    "squares": "select * from squares where bundle_id = ? order by id",
    "deeds": "select * from deeds where bundle_id = ? order by number, id",
    "swatches": "select * from swatches where bundle_id = ? order by place, square_id",
    "crops": """select c.square_id, c.jpeg from crops c join squares s on s.id = c.square_id
        where s.bundle_id = ? order by c.square_id""",
    "counts": "select id from counts where bundle_id = ? order by id",
}
"""What is read of each part, in an order that never differs."""
MEASURED: Final = ("lights", "swatches", "crops")
"""Parts that are measured from the photos."""
_COUNT: Final = "count "
_OF_COUNT: Final = (
    "select * from counts where id = ?",
    "select * from sets where count_id = ? order by number",
    "select * from set_squares where count_id = ? order by number, place",
)
CHECK_UP: Final = "run calicount check-up; it says what can be saved"

Rows = Sequence[Any]
"""Rows of a table, `sqlite3.Row` where the connection makes them."""


def write_digests(
    connection: sqlite3.Connection, bundle: int, parts: Iterable[str] = PARTS
) -> None:
    """Write the digests of parts of a bundle as they are now; inside the transaction of a change.

    A count's part is ``count`` and its number.
    """
    connection.executemany(
        "insert or replace into seals values (?, ?, ?)",
        [(bundle, part, _digest(rows_of(connection, bundle, part))) for part in parts],
    )


def write_bundle_digests(connection: sqlite3.Connection, bundle: int) -> None:
    """Write the digests of a bundle and all its counts as they are now, and no others."""
    remove_digests(connection, bundle)
    write_digests(connection, bundle, _all_parts(connection, bundle))


def write_all_digests(connection: sqlite3.Connection) -> None:
    """Write the digests of all bundles as they are now."""
    for (bundle,) in connection.execute("select id from bundles").fetchall():
        write_bundle_digests(connection, bundle)


def rewrite_digests_of_swatches(connection: sqlite3.Connection) -> None:
    """Write the digests of swatches that have got an empty column, where they were sound before."""
    for bundle, digest in connection.execute(
        "select bundle_id, digest from seals where part = 'swatches'"
    ).fetchall():
        rows = rows_of(connection, bundle, "swatches")
        if digest == _digest([tuple(row)[:-1] for row in rows]):
            write_digests(connection, bundle, ["swatches"])


def rewrite_unmeasured_digests(connection: sqlite3.Connection, bundle: int) -> None:
    """Write the digests of all that isn't measured of a bundle as it is now."""
    connection.execute(
        f"delete from seals where bundle_id = ? and part not in ({', '.join('?' * len(MEASURED))})",
        (bundle, *MEASURED),
    )
    write_digests(connection, bundle, set(_all_parts(connection, bundle)) - set(MEASURED))


def remove_lost_digests(connection: sqlite3.Connection) -> None:
    """Take away the digests of bundles that are there no more."""
    connection.execute("delete from seals where bundle_id not in (select id from bundles)")


def remove_digests(connection: sqlite3.Connection, bundle: int) -> None:
    """Take away the digests of a bundle that is being removed."""
    connection.execute("delete from seals where bundle_id = ?", (bundle,))


def part_of_count(count: int) -> str:
    """Return the part that a count is."""
    return f"{_COUNT}{count}"


def sound_rows(connection: sqlite3.Connection, bundle: int, part: str) -> Rows:
    """Return the rows of a part.

    Raises
    ------
    CatalogueError
        They aren't those that calicount wrote.
    """
    rows = rows_of(connection, bundle, part)
    if _has_digests(connection):
        found = connection.execute(
            "select digest from seals where bundle_id = ? and part = ?", (bundle, part)
        ).fetchone()
        if found is None or found[0] != _digest(rows):
            raise changed(connection, bundle)
    return rows


def changed(connection: sqlite3.Connection, bundle: int) -> CatalogueError:
    """Return the error of a bundle whose rows aren't those that calicount wrote."""
    row = connection.execute("select name from bundles where id = ?", (bundle,)).fetchone()
    return _damaged(row[0] if row else "a bundle")


def rows_of(connection: sqlite3.Connection, bundle: int, part: str) -> Rows:
    """Return the rows of a part, whatever they hold."""
    if part in PARTS:
        query = PARTS[part]
        if not _has_digests(connection):
            query = query.replace(", file_digest", "")
        return connection.execute(query, (bundle,)).fetchall()
    count = int(part.removeprefix(_COUNT))
    return [row for query in _OF_COUNT for row in connection.execute(query, (count,))]


def refuse_broken(
    connection: sqlite3.Connection, bundle: int, parts: Iterable[str] | None = None
) -> None:
    """Raise `CatalogueError` where parts of a bundle, or any, aren't those that calicount wrote."""
    for part in _all_parts(connection, bundle) if parts is None else parts:
        sound_rows(connection, bundle, part)


def refuse_broken_bundles(connection: sqlite3.Connection) -> None:
    """Raise `CatalogueError` where what is known of some bundle isn't as calicount wrote it."""
    if not _has_digests(connection):
        return
    kept = dict(
        connection.execute("select bundle_id, digest from seals where part = 'bundle'").fetchall()
    )
    for row in connection.execute("select * from bundles"):
        if kept.get(row["id"]) != _digest([row]):
            raise changed(connection, row["id"])


def broken_parts(connection: sqlite3.Connection, bundle: int) -> tuple[str, ...]:
    """Return the parts of a bundle that aren't as calicount wrote them; none before seals were."""
    if not _has_digests(connection):
        return ()
    kept = dict(connection.execute("select part, digest from seals where bundle_id = ?", (bundle,)))
    now = _all_parts(connection, bundle)
    return tuple(
        part
        for part in dict.fromkeys((*now, *kept))
        if part not in now or kept.get(part) != _digest_or_none(connection, bundle, part)
    )


def lost_bundles(connection: sqlite3.Connection) -> int:
    """Return how many bundles have seals and are there no more."""
    if not _has_digests(connection):
        return 0
    (lost,) = connection.execute(
        """select count(distinct bundle_id) from seals
        where bundle_id not in (select id from bundles)"""
    ).fetchone()
    return int(lost)


@contextmanager
def understood(name: str) -> Iterator[None]:
    """Turn what goes wrong with rows that nobody can understand into a sentence.

    Raises
    ------
    CatalogueError
        Anything but an error of the database or of our own was raised.
    """
    try:
        yield
    except (CalicountError, sqlite3.Error, MemoryError):
        raise
    except Exception as error:  # rows that something else wrote may hold anything
        raise _damaged(name, f" ({type(error).__name__})") from error


def _damaged(name: str, why: str = "") -> CatalogueError:
    return CatalogueError(
        f"what is kept of {name} is damaged, or something else than calicount changed it{why}",
        CHECK_UP,
    )


def _has_digests(connection: sqlite3.Connection) -> bool:
    (version,) = connection.execute("pragma user_version").fetchone()
    return bool(version >= DIGESTS_SINCE)


def _all_parts(connection: sqlite3.Connection, bundle: int) -> tuple[str, ...]:
    counts = connection.execute(PARTS["counts"], (bundle,)).fetchall()
    return (*PARTS, *(part_of_count(row[0]) for row in counts))


def _digest_or_none(connection: sqlite3.Connection, bundle: int, part: str) -> str | None:
    try:
        return _digest(rows_of(connection, bundle, part))
    except (sqlite3.Error, ValueError):  # no text, or the seal of no part
        return None


def _digest(rows: Rows) -> str:
    """Return SHA-256 of rows: their values as Python writes them in ASCII, files by SHA-256."""
    return hashlib.sha256(ascii([_short(row) for row in rows]).encode("ascii")).hexdigest()


def _short(row: Sequence[Any]) -> tuple[Any, ...]:
    long = [type(value) is bytes and len(value) > _WHOLE for value in row]
    return tuple(
        hashlib.sha256(value).digest() if hashed else value
        for value, hashed in zip(row, long, strict=True)
    )


_WHOLE: Final = 2048
"""Bytes up to which a value is written whole; a square's print is shorter, a picture longer."""
