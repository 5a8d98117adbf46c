"""Whether a catalogue is whole: its file, its photos, and that all in it agrees."""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from catalog.catalogue.patterns.pattern_rows import broken_patterns
from catalog.catalogue.store import digests, photo_rows
from catalog.catalogue.store.bundle_integrity import (
    ADD_AGAIN,
    AS_IT_IS,
    TAKE_BACK,
    Fault,
    bundle_faults,
)
from catalog.catalogue.store.digests import CHECK_UP
from catalog.catalogue.store.file_transactions import snapshot
from catalog.catalogue.store.schema import bring_up_to_date
from catalog.errors import CatalogueError
from catalog.system.progress import Progress, unreported

TOLD: Final = {
    "bundles": "bundles",
    "photos": f"({photo_rows.STANDING_PHOTOS})",
    "squares": "swatches",
    "patterns": "(select 1 from patterns where not removed)",
    "deeds": "(select * from deeds where kind <> 'paired sets')",
}
"""What is counted, as the list of bundles counts it, and the rows that are."""


@dataclass(frozen=True)
class CheckUp:
    """What a check-up found."""

    bundles: int
    photos: int
    squares: int
    deeds: int
    faults: tuple[Fault, ...]
    patterns: int = 0
    """Of one's own."""

    @property
    def well(self) -> bool:
        """Whether nothing is wrong."""
        return not self.faults


def check_up(connection: sqlite3.Connection, tell: Progress = unreported) -> CheckUp:
    """Check a catalogue; it is only read.

    Parameters
    ----------
    connection : sqlite3.Connection
        An open catalogue, in no transaction.
    tell : callable
        Told what is being done.
    """
    faults: list[Fault] = []
    with snapshot(connection):
        for doing, look in (
            ("reading the file through", _file_faults),
            ("comparing the photos with their digests", _photo_faults),
            ("going through the bundles", _faults_of_bundles),
            ("going through the patterns", _faults_of_patterns),
        ):
            tell(doing)
            faults.extend(_read_to_its_end(look(connection)))
        counts = {name: _count(connection, rows) for name, rows in TOLD.items()}
    return CheckUp(faults=tuple(dict.fromkeys(faults)), **counts)


def _read_to_its_end(faults: Iterator[Fault]) -> Iterator[Fault]:
    """Yield faults; what keeps the rest of them from being found is one too."""
    try:
        yield from faults
    except Exception as error:  # a damaged file may hold anything, in its table of tables too
        told = error if isinstance(error, sqlite3.Error) else type(error).__name__
        yield Fault(f"the file can't be read to its end ({told})", TAKE_BACK)


def _faults_of_bundles(connection: sqlite3.Connection) -> Iterator[Fault]:
    for number, name in connection.execute("select id, name from bundles").fetchall():
        yield from _read_to_its_end(bundle_faults(connection, number, _plain(name)))
    lost = digests.lost_bundles(connection)
    if lost:
        yield Fault(f"{lost} of the bundles that calicount kept are gone", AS_IT_IS)


def _faults_of_patterns(connection: sqlite3.Connection) -> Iterator[Fault]:
    for _, name, understood in broken_patterns(connection):
        yield Fault(
            f"the pattern {_plain(name)} was changed by something else",
            AS_IT_IS if understood else TAKE_BACK,
        )


@contextlib.contextmanager
def last_resort() -> Iterator[None]:
    """Say of a catalogue that can't even be opened what is left to do, instead of a check-up."""
    try:
        yield
    except CatalogueError as error:
        if error.cure == CHECK_UP:
            raise CatalogueError(error.problem, TAKE_BACK) from error
        raise


def _file_faults(connection: sqlite3.Connection) -> Iterator[Fault]:
    for (said,) in connection.execute("pragma integrity_check(20)").fetchall():
        if said != "ok":
            yield Fault(f"the file is damaged ({said})", TAKE_BACK)
    broken = connection.execute("pragma foreign_key_check").fetchall()
    tables = sorted({f"{row['table']} without {row['parent']}" for row in broken})
    if tables:
        yield Fault(f"{len(broken)} rows have lost what they belong to ({', '.join(tables)})",
                    TAKE_BACK)  # fmt: skip
    (version,) = connection.execute("pragma user_version").fetchone()
    with contextlib.closing(sqlite3.connect(":memory:", isolation_level=None)) as fresh:
        bring_up_to_date(fresh, version)
        if tables_of(connection) != tables_of(fresh):
            yield Fault("the file's tables are not those that calicount makes", TAKE_BACK)


def tables_of(connection: sqlite3.Connection) -> dict[str, str]:
    """Return the statement that makes each table and index, its blanks evened out."""
    rows = connection.execute("select name, sql from sqlite_schema where name not like 'sqlite_%'")
    return {str(name): " ".join(str(sql).split()) for name, sql in rows}


def _photo_faults(connection: sqlite3.Connection) -> Iterator[Fault]:
    photos = connection.execute(
        """select p.*, n.name as bundle from photos p join bundles n on n.id = p.bundle_id
            order by n.name, p.number"""
    ).fetchall()
    for photo in photos:
        bundle = _plain(photo["bundle"])
        said = f"{bundle}: the photo {_plain(photo['name'])}"
        row = connection.execute(
            "select content from photo_files where photo_id = ?", (photo["id"],)
        ).fetchone()
        if row is None:
            yield Fault(f"{said} is missing", ADD_AGAIN, bundle)
        elif not photo_rows.is_as_stored(photo, row["content"]):
            yield Fault(f"{said} is not as it came", ADD_AGAIN, bundle)


def _count(connection: sqlite3.Connection, rows: str) -> int:
    try:
        return int(connection.execute(f"select count(*) from {rows}").fetchone()[0])
    except sqlite3.Error:
        return 0


def _plain(name: Any) -> str:  # noqa: ANN401 - whatever a cell holds
    return name if isinstance(name, str) else "a bundle or photo without a name"
