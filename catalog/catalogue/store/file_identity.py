"""Which file may be a catalogue: a regular one, and never another program's."""

from __future__ import annotations

import contextlib
import os
import sqlite3
import stat
from pathlib import Path
from typing import Final

from catalog.catalogue.store.file_copy import SIDES
from catalog.catalogue.store.schema import APPLICATION_ID, foreign
from catalog.errors import CatalogueError

MIN_DATABASE_BYTES: Final = 512
"""Bytes of the smallest database (SQLite, "Database File Format", 1.3.2); SQLite itself takes a
file of a single byte for an empty one, and writes over it."""
APPLICATION_ID_BYTES: Final = slice(68, 72)
"""Where a database's head says whose it is, biggest byte first (the same, 1.3)."""
NAME_ANOTHER: Final = "name another file with --catalogue"


def refuse_unfit(path: Path) -> None:
    """Raise `CatalogueError` for what is no regular file; one that is missing may be made.

    SQLite would take some names for addresses, of databases that are nowhere on the disk.
    """
    told = str(path).lower()
    if told == ":memory:" or told.startswith("file:"):
        raise CatalogueError(f"'{path}' is no name that a file can have here", NAME_ANOTHER)
    try:
        found = path.stat()
    except (FileNotFoundError, NotADirectoryError):
        return
    except (OSError, ValueError) as error:
        raise _unfit(path, str(getattr(error, "strerror", None) or error)) from error
    if stat.S_ISDIR(found.st_mode):
        raise _unfit(path, "it is a folder")
    if not stat.S_ISREG(found.st_mode):
        raise _unfit(path, "it is no plain file")
    if 0 < found.st_size < MIN_DATABASE_BYTES:
        raise _unfit(path, "file is not a database")


def refuse_foreign_head(path: Path) -> None:
    """Raise `CatalogueError` for another program's database before anything of it is touched.

    Only the file itself is read, without its log. Where that shows neither tables nor our mark,
    as after a kill while an older calicount made it, the log will tell.
    """
    try:
        with path.open("rb") as file:
            application = file.read(APPLICATION_ID_BYTES.stop)[APPLICATION_ID_BYTES]
    except OSError as error:
        raise _unfit(path, str(error.strerror or error)) from error
    if application in {b"", APPLICATION_ID.to_bytes(4, "big")}:
        return  # SQLite would find the rest malformed while another command makes it
    address = f"{path.absolute().as_uri()}?mode=ro&immutable=1"
    with contextlib.closing(sqlite3.connect(address, uri=True)) as other:
        (tables,) = other.execute("select count(*) from sqlite_schema").fetchone()
    if any(application) or tables:
        raise foreign()


def reading_address(path: Path) -> str:
    """Return the address by which SQLite opens a catalogue to read it.

    Where neither file nor folder may be written to and nobody is at work there, SQLite is told
    that nothing changes, as it can't make the files by which it would learn of it.
    """
    address = path.absolute().as_uri()
    if may_be_written(path):
        return f"{address}?mode=rw"
    sides = [path.with_name(path.name + ending) for ending in SIDES]
    busy = any(os.path.lexists(side) for side in sides)
    return f"{address}?mode=ro" if busy else f"{address}?mode=ro&immutable=1"


def may_be_written(path: Path) -> bool:
    """Whether a catalogue can be changed, or made where none is."""
    if not os.path.lexists(path):
        return True
    return os.access(path, os.W_OK) and os.access(path.absolute().parent, os.W_OK)


def _unfit(path: Path, why: str) -> CatalogueError:
    return CatalogueError(f"the catalogue '{path}' can't be used ({why})", NAME_ANOTHER)
