"""Rows of patterns that are kept: read, written, and held against their digests."""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Iterator, Sequence
from typing import Final

from catalog.catalogue.patterns.pattern_events import (
    PatternState,
    pattern_after,
    pattern_event_of,
)
from catalog.catalogue.patterns.stored_pattern import StoredPattern
from catalog.catalogue.records import RecordedEvent
from catalog.catalogue.store.digests import understood
from catalog.catalogue.store.row_writing import insert, now
from catalog.errors import CatalogueError, MissingPatternError

PATTERNS_SINCE: Final = 4
"""Version of the tables from which on there are patterns; see `catalog.catalogue.store.schema`."""
_ROW: Final = "select id, name, text, removed, version, added_at from patterns where id = ?"
_EVENTS: Final = """select number, kind, args, at, made, undone from pattern_events
    where pattern_id = ? order by number"""

_ALL_EVENTS: Final = "select * from pattern_events where pattern_id = ? order by number, id"


def has_patterns(sql: sqlite3.Connection) -> bool:
    """Whether the file has tables of patterns: one of an older calicount has none."""
    (version,) = sql.execute("pragma user_version").fetchone()
    return bool(version >= PATTERNS_SINCE)


def stored_patterns(sql: sqlite3.Connection) -> tuple[StoredPattern, ...]:
    """Return the patterns by name, without those that were removed."""
    if not has_patterns(sql):
        return ()
    numbers = sql.execute("select id from patterns where not removed order by name collate nocase")
    return tuple(stored_pattern(sql, number) for (number,) in numbers.fetchall())


def versions(sql: sqlite3.Connection) -> dict[int, int]:
    """Return the version of each pattern that is kept, by number."""
    if not has_patterns(sql):
        return {}
    return dict(sql.execute("select id, version from patterns where not removed").fetchall())


def number_of(sql: sqlite3.Connection, name: str, *, removed: bool = False) -> int | None:
    """Return the number of the pattern of a name, in any case; None for none.

    With ``removed``, the one of that name that was removed last, where none is kept.
    """
    if not has_patterns(sql):
        return None
    row = sql.execute(
        """select id from patterns where name = ? collate nocase and removed <= ?
        order by removed, id desc limit 1""",
        (name, removed),
    ).fetchone()
    return int(row[0]) if row else None


def stored_pattern(sql: sqlite3.Connection, number: int) -> StoredPattern:
    """Return the pattern of a number, one that was removed too.

    Raises
    ------
    CatalogueError
        There is none, or its rows aren't those that calicount wrote.
    """
    if not has_patterns(sql) or sql.execute(_ROW, (number,)).fetchone() is None:
        raise MissingPatternError(
            "there is no such pattern any more", "calicount patterns lists what is kept"
        )
    row = sql.execute(_ROW, (number,)).fetchone()
    with understood(str(row["name"])):
        events = recorded_events(sql, number)
        state = pattern_after(events)
        kept = sql.execute("select digest from patterns where id = ?", (number,)).fetchone()
        if state != _state(row) or kept["digest"] != _digest(sql, number):
            raise ValueError(number)
        return StoredPattern(
            number, row["name"], row["text"], row["version"], events, row["added_at"],
            bool(row["removed"]),
        )  # fmt: skip


def recorded_events(sql: sqlite3.Connection, number: int) -> tuple[RecordedEvent, ...]:
    """Return a pattern's events as its rows have them."""
    rows = sql.execute(_EVENTS, (number,)).fetchall()
    return tuple(
        RecordedEvent(pattern_event_of(kind, json.loads(args)), place, at, made, undone)
        for place, kind, args, at, made, undone in rows
    )


def put_pattern(
    sql: sqlite3.Connection,
    events: Sequence[RecordedEvent],
    version: int = 1,
    added_at: str | None = None,
) -> int:
    """Insert a pattern with its events; give its number. Inside a transaction."""
    state = pattern_after(events)
    number = insert(sql, "patterns", name=state.name, text=state.text, added_at=added_at or now())
    put_events(sql, number, events, version)
    return number


def put_events(
    sql: sqlite3.Connection, number: int, events: Sequence[RecordedEvent], version: int
) -> None:
    """Write a pattern's events, and what follows from them, in place of what is there."""
    state = pattern_after(events)
    sql.execute("delete from pattern_events where pattern_id = ?", (number,))
    for place, one in enumerate(events, start=1):
        insert(
            sql, "pattern_events", pattern_id=number, number=place, kind=one.event.kind,
            args=json.dumps(one.event.args), at=one.at or now(), made=one.made,
            undone=one.undone,
        )  # fmt: skip
    sql.execute(
        "update patterns set name = ?, text = ?, removed = ?, version = ? where id = ?",
        (state.name, state.text, state.removed, version, number),
    )
    write_digest(sql, number)


def write_digest(sql: sqlite3.Connection, number: int) -> None:
    """Write the digest of a pattern as it is now."""
    sql.execute("update patterns set digest = ? where id = ?", (_digest(sql, number), number))


def broken_patterns(sql: sqlite3.Connection) -> Iterator[tuple[int, str, bool]]:
    """Yield number and name of patterns that aren't as calicount wrote them.

    The third says whether they can be understood all the same.
    """
    if not has_patterns(sql):
        return
    for number, name in sql.execute("select id, name from patterns").fetchall():
        try:
            stored_pattern(sql, number)
        except CatalogueError:
            yield number, str(name), _is_understood(sql, number)


def _is_understood(sql: sqlite3.Connection, number: int) -> bool:
    try:
        return pattern_after(recorded_events(sql, number)) == _state(
            sql.execute(_ROW, (number,)).fetchone()
        )
    except (KeyError, ValueError, TypeError, AttributeError):
        return False


def _state(row: sqlite3.Row) -> PatternState:
    return PatternState(row["name"], row["text"], bool(row["removed"]))


def _digest(sql: sqlite3.Connection, number: int) -> str:
    """Return SHA-256 of a pattern's rows as Python writes them in ASCII."""
    rows = [tuple(row) for query in (_ROW, _ALL_EVENTS) for row in sql.execute(query, (number,))]
    return hashlib.sha256(ascii(rows).encode("ascii")).hexdigest()
