"""Patterns that go along with an exported bundle, and are taken in with it."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from catalog.catalogue.events.event_base import UnknownEvent
from catalog.catalogue.patterns import pattern_rows
from catalog.catalogue.patterns.pattern_events import (
    NamedPattern,
    PatternState,
    WrittenPattern,
    pattern_after,
    pattern_event_of,
)
from catalog.catalogue.patterns.stored_pattern import StoredPattern
from catalog.catalogue.records import RecordedEvent
from catalog.catalogue.store.bundle_list import tidy
from catalog.catalogue.store.row_writing import now
from catalog.errors import CatalogueError
from catalog.pattern.pattern_file import shipped_name

Row = Mapping[str, Any]


def patterns_along(
    sql: sqlite3.Connection, bundle: int, named: Sequence[str] = ()
) -> list[dict[str, Any]]:
    """Return what an archive tells of the patterns that go along with a bundle.

    Parameters
    ----------
    sql : sqlite3.Connection
    bundle : int
    named : sequence of str
        Names of further ones, beside those that the bundle was counted for or its projects are of.

    Raises
    ------
    CatalogueError
        None of that name is kept.
    """
    kept = pattern_rows.stored_patterns(sql)
    for name in named:
        if not any(_is_called(one, name) for one in kept):
            raise CatalogueError(
                f"no pattern of yours is called '{name}'", "calicount patterns lists them"
            )
    wanted = [*_used_in(sql, bundle), *named]
    return [_told(one) for one in kept if any(_is_called(one, name) for name in wanted)]


def taken_patterns(sql: sqlite3.Connection, rows: Iterable[Row]) -> dict[str, str]:
    """Take an archive's patterns in, inside a transaction.

    One that is kept already, as the archive has it, stays; another of that name isn't touched, and
    the archive's gets a name beside it.

    Returns
    -------
    dict
        What they are called now, by what they were called, in small letters.

    Raises
    ------
    CatalogueError
        They aren't as calicount writes them.
    """
    return {old: new for row in rows for old, new in _taken(sql, row)}


def _used_in(sql: sqlite3.Connection, bundle: int) -> list[str]:
    """Return the names of the patterns that a bundle's counts and projects are of."""
    names = [
        str(row[0])
        for row in sql.execute("select pattern from counts where bundle_id = ?", (bundle,))
    ]
    for (args,) in sql.execute(
        "select args from deeds where bundle_id = ? and kind = 'reserve'", (bundle,)
    ):
        names.append(str(json.loads(args).get("pattern", "")))
    return list(dict.fromkeys(filter(None, names)))


def _is_called(one: StoredPattern, name: str) -> bool:
    folded = tidy(name).casefold()
    return folded in {one.name.casefold(), *map(str.casefold, one.former_names)}


def _told(one: StoredPattern) -> dict[str, Any]:
    return {
        "name": one.name,
        "version": one.version,
        "added_at": one.added_at,
        "events": [
            {
                "number": event.number,
                "kind": event.event.kind,
                "args": event.event.args,
                "at": event.at,
                "made": event.made,
                "undone": event.undone,
            }
            for event in one.events
        ],
    }


def _taken(sql: sqlite3.Connection, row: Row) -> list[tuple[str, str]]:
    events = tuple(
        RecordedEvent(
            pattern_event_of(one["kind"], one["args"]),
            one["number"],
            one["at"],
            one["made"],
            one["undone"],
        )
        for one in row["events"]
    )
    state = _judged(events, row)
    known = pattern_rows.number_of(sql, state.name)
    if known is not None and pattern_rows.stored_pattern(sql, known).text == state.text:
        return []
    version, name = row["version"], _free_name(sql, state.name)
    if name != state.name:
        version += 1
        renamed = RecordedEvent(NamedPattern(name), len(events) + 1, now(), version)
        events = (*events, renamed)
    pattern_rows.put_pattern(sql, events, version, row["added_at"])
    names = [one.event.name for one in events if isinstance(one.event, NamedPattern)]
    return [(old.casefold(), name) for old in names if name != state.name]


def _judged(events: Sequence[RecordedEvent], row: Row) -> PatternState:
    """Return the pattern that events make, which must be as calicount writes them."""
    first = [type(one.event) for one in events if one.made == 1 and not one.undone]
    numbers = [one.number for one in events]
    whole = (
        first == [NamedPattern, WrittenPattern]
        and numbers == list(range(1, len(events) + 1))
        and not any(isinstance(one.event, UnknownEvent) for one in events)
        and all(max(one.made, one.undone) <= row["version"] for one in events)
    )
    if not whole:
        raise CatalogueError("its patterns aren't as calicount writes them", "export it again")
    state = pattern_after(events)
    names = [one.event.name for one in events if isinstance(one.event, NamedPattern)]
    if state.removed or state.name != row["name"] or any(tidy(name) != name for name in names):
        raise CatalogueError("its patterns don't agree with themselves", "export it again")
    return state


def _free_name(sql: sqlite3.Connection, name: str) -> str:
    """Return a pattern's name, another where that is taken here or comes with calicount."""
    names = (name, *(f"{name[:72]} {number}" for number in range(2, 1000)))
    return next(
        one for one in names if pattern_rows.number_of(sql, one) is None and not shipped_name(one)
    )
