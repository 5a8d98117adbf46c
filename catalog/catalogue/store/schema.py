"""The tables of the catalogue, and the steps that bring an older file up to date."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Mapping, Sequence
from typing import Final

from catalog.catalogue.index.index_rows import INDEX_SINCE, PICTURES_SINCE
from catalog.catalogue.store.digests import (
    DIGESTS_SINCE,
    PRINTS_SINCE,
    rewrite_digests_of_swatches,
    write_all_digests,
)
from catalog.catalogue.store.file_transactions import snapshot, transaction
from catalog.errors import CatalogueError
from catalog.system.progress import Progress, unreported

APPLICATION_ID: Final = 0x43414C49
"""Written into the file's head, so that another program's file isn't taken for a catalogue."""

STEPS: Final[Sequence[tuple[str, Sequence[str]]]] = (
    (
        "bundles, photos, squares, deeds, counts",
        (
            """create table bundles (
                id integer primary key autoincrement,
                name text not null unique collate nocase check (length(name) between 1 and 80),
                side text not null,
                version integer not null default 1,
                added_at text not null
            )""",
            """create table photos (
                id integer primary key autoincrement,
                bundle_id integer not null references bundles (id) on delete cascade,
                number integer not null,
                name text not null,
                digest text not null check (length(digest) = 64),
                wide integer not null,
                high integer not null,
                cut_off integer not null,
                pixels_per_inch real not null,
                added_at text not null,
                light blob,
                evidence text not null default '',
                expected_error real not null default 0,
                unevenness real not null default 1,
                measured_from text not null default '',
                unique (bundle_id, number),
                unique (bundle_id, digest)
            )""",
            """create table photo_files (
                photo_id integer primary key references photos (id) on delete cascade,
                content blob not null
            )""",
            """create table squares (
                id integer primary key autoincrement,
                bundle_id integer not null references bundles (id) on delete cascade,
                photo_id integer not null references photos (id) on delete cascade,
                label text not null,
                seen text,
                unique (bundle_id, label)
            )""",
            "create index squares_of_photo on squares (photo_id)",
            """create table deeds (
                id integer primary key,
                bundle_id integer not null references bundles (id) on delete cascade,
                number integer not null,
                kind text not null,
                args text not null check (json_valid(args)),
                at text not null,
                made integer not null,
                undone integer not null default 0,
                unique (bundle_id, number)
            )""",
            """create table swatches (
                square_id integer primary key references squares (id) on delete cascade,
                bundle_id integer not null references bundles (id) on delete cascade,
                place integer not null,
                label text not null,
                square text not null,
                lightness real not null,
                a real not null,
                b real not null,
                print_kind text not null,
                busyness real not null,
                colour_name text not null,
                value text not null,
                fabric text not null,
                family text not null,
                role text not null,
                flags text not null,
                uncertainty real not null,
                own_uncertainty real not null,
                signature blob not null,
                state text not null,
                said text not null
            )""",
            "create index swatches_of_bundle on swatches (bundle_id, place)",
            """create table crops (
                square_id integer primary key references squares (id) on delete cascade,
                jpeg blob not null
            )""",
            """create table counts (
                id integer primary key,
                bundle_id integer not null references bundles (id) on delete cascade,
                at text not null,
                title text not null,
                pattern text not null,
                rules text not null check (json_valid(rules)),
                tally text not null check (json_valid(tally)),
                enough integer not null
            )""",
            """create table sets (
                count_id integer not null references counts (id) on delete cascade,
                number integer not null,
                need text not null,
                difference real not null,
                value_step real not null,
                family text not null,
                flags text not null,
                primary key (count_id, number)
            ) without rowid""",
            """create table set_squares (
                count_id integer not null,
                number integer not null,
                place integer not null,
                square_id integer not null references squares (id) on delete cascade,
                primary key (count_id, number, place),
                foreign key (count_id, number) references sets (count_id, number) on delete cascade
            ) without rowid""",
        ),
    ),
    (
        "digests of all that is kept, and of files that are not as they came",
        (
            "alter table photos add column file_digest text not null default ''",
            """create table seals (
                bundle_id integer not null,
                part text not null,
                digest text not null,
                primary key (bundle_id, part)
            ) without rowid""",
        ),
    ),
    (
        "prints: colours, scale and kind",
        ("alter table swatches add column print text check (print is null or json_valid(print))",),
    ),
    (
        "patterns of one's own, and what was done to each",
        (
            """create table patterns (
                id integer primary key autoincrement,
                name text not null check (length(name) between 1 and 80),
                text text not null,
                removed integer not null default 0,
                version integer not null default 1,
                added_at text not null,
                digest text not null default ''
            )""",
            """create unique index patterns_by_name on patterns (name collate nocase)
                where not removed""",
            """create table pattern_events (
                id integer primary key,
                pattern_id integer not null references patterns (id) on delete cascade,
                number integer not null,
                kind text not null,
                args text not null check (json_valid(args)),
                at text not null,
                made integer not null,
                undone integer not null default 0,
                unique (pattern_id, number)
            )""",
        ),
    ),
    (
        "an index of all squares' colours, and of what keeps squares from being used",
        (
            """create table colour_index (
                bundle_id integer not null references bundles (id) on delete cascade,
                part text not null check (part in ('squares', 'hand', 'wall', 'pairing')),
                made_from text not null,
                content blob not null,
                primary key (bundle_id, part)
            )""",
            "create index swatches_by_state on swatches (bundle_id, state)",
        ),
    ),
    (
        "which squares a bundle's picture shows",
        (
            "alter table colour_index rename to older_index",
            """create table colour_index (
                bundle_id integer not null references bundles (id) on delete cascade,
                part text not null
                    check (part in ('squares', 'hand', 'wall', 'pairing', 'picture')),
                made_from text not null,
                content blob not null,
                primary key (bundle_id, part)
            )""",
            "insert into colour_index select * from older_index",
            "drop table older_index",
        ),
    ),
)
"""Name and statements of each step, oldest first; a step that was ever released never changes."""

VERSION: Final = len(STEPS)


def _write_index(connection: sqlite3.Connection) -> None:
    if connection.execute("select 1 from bundles limit 1").fetchone():
        from catalog.catalogue.index.index_writing import write_whole_index  # slow to load

        write_whole_index(connection)


def _add_pictures(connection: sqlite3.Connection) -> None:
    if connection.execute("select 1 from bundles limit 1").fetchone():
        from catalog.catalogue.index.index_writing import add_pictures  # slow to load

        add_pictures(connection)


_FILLED: Final[Mapping[int, Callable[[sqlite3.Connection], None]]] = {
    DIGESTS_SINCE: write_all_digests,
    PRINTS_SINCE: rewrite_digests_of_swatches,
    INDEX_SINCE: _write_index,
    PICTURES_SINCE: _add_pictures,
}
"""What a step puts into its tables, by the step's number."""
MANY_SQUARES: Final = 4000
"""From so many on, putting that in takes more than a second, which is worth a word."""


def bring_up_to_date(
    connection: sqlite3.Connection, version: int | None = None, tell: Progress = unreported
) -> int:
    """Carry out the steps that a file lacks, each whole or not at all.

    Parameters
    ----------
    connection : sqlite3.Connection
        In autocommit mode.
    version : int, optional
        Up to which; `VERSION` if None.
    tell : callable
        Told what is being done where that takes long.

    Returns
    -------
    int
        How many were carried out.

    Raises
    ------
    CatalogueError
        The file isn't a catalogue, or a newer calicount made it.
    """
    with snapshot(connection):
        done = _version(connection)
    for number, (_, statements) in enumerate(STEPS[done:version], start=done + 1):
        with transaction(connection):
            if _version(connection) < number:  # another command may have been quicker
                for statement in statements:
                    connection.execute(statement)
                connection.execute(f"pragma application_id = {APPLICATION_ID}")
                connection.execute(f"pragma user_version = {number}")
                if number in _FILLED:
                    _fill(connection, number, tell)
    return VERSION - done


def refuse_foreign(connection: sqlite3.Connection) -> None:
    """Raise `CatalogueError` for another program's file, before anything is written to it."""
    _version(connection)


def _fill(connection: sqlite3.Connection, number: int, tell: Progress) -> None:
    """Put into a step's tables what follows from what is kept."""
    (squares,) = connection.execute("select count(*) from squares").fetchone()
    if squares >= MANY_SQUARES:
        tell(f"bringing {squares:,} squares up to date, once for this calicount")
    _FILLED[number](connection)


def foreign() -> CatalogueError:
    """Return the error of another program's file."""
    return CatalogueError(
        "that file is a database of another program", "name another file with --catalogue"
    )


def _version(connection: sqlite3.Connection) -> int:
    """Return how many steps a file has; tables are counted first, as another may make it now."""
    (tables,) = connection.execute("select count(*) from sqlite_schema").fetchone()
    (application,) = connection.execute("pragma application_id").fetchone()
    (version,) = connection.execute("pragma user_version").fetchone()
    if application not in {0, APPLICATION_ID} or (not application and tables):
        raise foreign()
    if version > VERSION:
        raise CatalogueError(
            "that catalogue was made by a newer calicount", "bring this calicount up to date"
        )
    return int(version)
