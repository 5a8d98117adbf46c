"""Whether a catalogue is whole: its file, its photos, and that all in it agrees."""

from __future__ import annotations

import contextlib
import hashlib
import sqlite3
import zipfile
from collections.abc import Callable, Iterator, Set
from dataclasses import dataclass
from typing import Final

from catalog.kept import forms, frozen, reading
from catalog.kept.deeds import renumbered
from catalog.kept.file import snapshot, transaction
from catalog.kept.models import KeptSquare, State
from catalog.kept.reading import Record
from catalog.kept.replay import replay
from catalog.kept.schema import bring_up_to_date

Teller = Callable[[str], None]

TAKE_BACK: Final = (
    "take back a copy of the catalogue if you have one; else export what still can be"
)
MEND: Final = "calicount check-up --mend measures and lists it anew from its photos"
ADD_AGAIN: Final = "take back a copy, or take the photo out and add it again"
MOST_NAMED: Final = 5


@dataclass(frozen=True)
class Fault:
    """Something that isn't well."""

    what: str
    """A clause without a full stop."""
    cure: str
    """What to do, as a clause."""
    bundle: str = ""
    mendable: bool = False
    """Whether `mend` puts it right."""


@dataclass(frozen=True)
class Verdict:
    """What a check-up found."""

    bundles: int
    photos: int
    squares: int
    deeds: int
    faults: tuple[Fault, ...]

    @property
    def well(self) -> bool:
        """Whether nothing is wrong."""
        return not self.faults


def check_up(connection: sqlite3.Connection, tell: Teller = lambda _: None) -> Verdict:
    """Check a catalogue; it is only read.

    Parameters
    ----------
    connection : sqlite3.Connection
        An open catalogue, in no transaction.
    tell : callable
        Told what is being done.
    """
    counts = {"bundles": 0, "photos": 0, "squares": 0, "deeds": 0}
    faults: list[Fault] = []
    with snapshot(connection):
        try:
            tell("reading the file through")
            faults.extend(_file_faults(connection))
            counts = {name: _count(connection, name) for name in counts}
            tell("comparing the photos with their digests")
            faults.extend(_photo_faults(connection))
            for number, name in connection.execute("select id, name from bundles").fetchall():
                tell(f"going through {name}")
                faults.extend(bundle_faults(connection, number, name))
        except sqlite3.DatabaseError as error:
            faults.append(Fault(f"the file can't be read to its end ({error})", TAKE_BACK))
    return Verdict(faults=tuple(dict.fromkeys(faults)), **counts)


def bundle_faults(connection: sqlite3.Connection, number: int, name: str) -> Iterator[Fault]:
    """Tell what of a bundle's rows doesn't agree."""
    try:
        record = reading.record(connection, number)
        strange = _strangeness(record)
        state = None if strange else replay(record.seen, record.deeds)
    except sqlite3.Error:
        raise
    except Exception as error:  # rows that something else wrote may hold anything
        strange, state = f"some of its rows can't be understood ({type(error).__name__})", None
    if state is None:
        yield Fault(f"{name}: {strange}", TAKE_BACK, name)
        return
    for what in (
        *_listed_otherwise(connection, state, number),
        *_lost_parts(connection, number),
    ):
        yield Fault(f"{name}: {what}", MEND, name, mendable=True)


def mend(connection: sqlite3.Connection, name: str) -> None:
    """Let a bundle's photos be measured anew with the next change of it."""
    with transaction(connection):
        number = reading.bundle_id(connection, name)
        connection.execute("update photos set measured_from = '' where bundle_id = ?", (number,))


def _file_faults(connection: sqlite3.Connection) -> Iterator[Fault]:
    for (said,) in connection.execute("pragma integrity_check(20)").fetchall():
        if said != "ok":
            yield Fault(f"the file is damaged ({said})", TAKE_BACK)
    broken = connection.execute("pragma foreign_key_check").fetchall()
    tables = sorted({f"{row['table']} without {row['parent']}" for row in broken})
    if tables:
        yield Fault(f"{len(broken)} rows have lost what they belong to ({', '.join(tables)})",
                    TAKE_BACK)  # fmt: skip
    with contextlib.closing(sqlite3.connect(":memory:", isolation_level=None)) as fresh:
        bring_up_to_date(fresh)
        if tables_of(connection) != tables_of(fresh):
            yield Fault("the file's tables are not those that calicount makes", TAKE_BACK)


def tables_of(connection: sqlite3.Connection) -> dict[str, str]:
    """Return the statement that makes each table and index, its blanks evened out."""
    rows = connection.execute("select name, sql from sqlite_schema where name not like 'sqlite_%'")
    return {name: " ".join(sql.split()) for name, sql in rows}


def _photo_faults(connection: sqlite3.Connection) -> Iterator[Fault]:
    photos = connection.execute(
        """select p.id, p.name, p.digest, n.name as bundle from photos p
            join bundles n on n.id = p.bundle_id order by n.name, p.number"""
    ).fetchall()
    for photo in photos:
        said = f"{photo['bundle']}: the photo {photo['name']}"
        row = connection.execute(
            "select content from photo_files where photo_id = ?", (photo["id"],)
        ).fetchone()
        if row is None:
            yield Fault(f"{said} is missing", ADD_AGAIN, photo["bundle"])
        elif hashlib.sha256(row["content"]).hexdigest() != photo["digest"]:
            yield Fault(f"{said} is not as it came", ADD_AGAIN, photo["bundle"])


def _strangeness(record: Record) -> str:
    """Return what is wrong with what was done and seen; empty where nothing is."""
    squares = {one.id for one in record.seen}
    photos = {one.id for one in record.photos}
    strange: list[int] = []

    def noted(number: int, of: set[int]) -> int:
        if number not in of:
            strange.append(number)
        return number

    for place, deed in enumerate(record.deeds, start=1):
        if deed.number != place:
            return f"number {place} of what was done is missing"
        if not forms.deed(deed.kind, deed.args):
            return f"number {place} of what was done is nothing that calicount knows"
        renumbered(deed.args, lambda n: noted(n, squares), lambda n: noted(n, photos))
        if strange:
            return f"number {place} of what was done is about squares that aren't there"
    drawn = {deed.args["square"] for deed in record.deeds if deed.kind == "missed"}
    if any(one.square is None and one.id not in drawn for one in record.seen):
        return "it has squares that nobody saw or drew"
    if any(one.photo not in photos for one in record.seen):
        return "it has squares of photos that aren't there"
    return ""


def _listed_otherwise(connection: sqlite3.Connection, state: State, number: int) -> Iterator[str]:
    """Tell which squares are listed otherwise than photos and corrections say."""
    listed = {
        row["square_id"]: row
        for row in connection.execute(
            "select square_id, label, square, role, state, said from swatches where bundle_id = ?",
            (number,),
        )
    }
    live = {one.id: one for one in state.squares.values() if one.live}
    wrong = {
        one.id
        for one in live.values()
        if one.id in listed and _row_of(one) != tuple(listed[one.id])[1:]
    }
    for odd, word in (
        (live.keys() - listed.keys(), "missing from the list"),
        (listed.keys() - live.keys(), "still in the list"),
        (wrong, "listed wrongly"),
    ):
        if odd:
            yield f"{_named(state, odd)} {'is' if len(odd) == 1 else 'are'} {word}"


def _row_of(one: KeptSquare) -> tuple[str, ...]:
    return (one.label, frozen.square_text(one.square), one.role, one.why_not_free, one.said)


def _lost_parts(connection: sqlite3.Connection, number: int) -> Iterator[str]:
    """Tell what was measured of the listed squares and is there no more."""
    crops = connection.execute(
        """select count(*) from swatches w left join crops c using (square_id)
        where w.bundle_id = ? and c.square_id is null""",
        (number,),
    ).fetchone()[0]
    if crops:
        yield f"the pictures of {crops} squares are missing"
    for photo in connection.execute(
        """select distinct p.name, p.light from photos p join squares s on s.photo_id = p.id
            join swatches w on w.square_id = s.id where w.bundle_id = ?""",
        (number,),
    ).fetchall():
        try:
            frozen.light_of(photo["light"] or b"")
        except (OSError, ValueError, KeyError, EOFError, MemoryError, zipfile.BadZipFile):
            yield f"the light of {photo['name']} can't be read"


def _named(state: State, numbers: Set[int]) -> str:
    labels = sorted(
        state.squares[n].label if n in state.squares else f"number {n}" for n in numbers
    )
    more = f" and {len(labels) - MOST_NAMED} more" if len(labels) > MOST_NAMED else ""
    return ", ".join(labels[:MOST_NAMED]) + more


def _count(connection: sqlite3.Connection, table: str) -> int:
    return int(connection.execute(f"select count(*) from {table}").fetchone()[0])
