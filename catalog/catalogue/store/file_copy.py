"""One file to keep elsewhere: written beside its place, then renamed."""

from __future__ import annotations

import contextlib
import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from catalog.errors import OutputError
from catalog.system import atomic_files

SIDES: Final = ("-journal", "-wal", "-shm")
"""Endings of the files that SQLite keeps beside a database while it works on it."""


def copy_to(connection: sqlite3.Connection, source: Path, target: Path, *, over: bool) -> None:
    """Copy a catalogue into one file, while others may use it.

    Parameters
    ----------
    connection : sqlite3.Connection
        The open catalogue, in no transaction.
    source : Path
        Its file.
    target : Path
    over : bool
        Whether a file of that name may be written over.

    Raises
    ------
    OutputError
        It is there already, or can't be written. Nothing is half-written then.
    """
    if target.exists() and target.resolve() == source.resolve():
        raise OutputError("that is the catalogue itself", "name another file")
    with (
        written_beside(target, over=over) as part,
        contextlib.closing(sqlite3.connect(part.absolute(), isolation_level=None)) as copy,
    ):
        try:
            connection.backup(copy)
            copy.execute("pragma journal_mode = delete")
        except sqlite3.Error as error:
            raise unwritten(target, str(error)) from error


def unwritten(target: Path, why: str) -> OutputError:
    """Return the error of a file that can't be written."""
    return OutputError(f"'{target}' can't be written ({why})", "name another file")


@contextmanager
def written_beside(target: Path, *, over: bool) -> Iterator[Path]:
    """Yield a file to write; it takes the target's place when all went well.

    Its owner alone may read it, for it may hold photos.

    Raises
    ------
    OutputError
        The target is there already and may not be written over, or can't be written.
    """
    if target.is_dir():
        raise OutputError(f"'{target}' is a folder", "name a file")
    if os.path.lexists(target) and not over:
        raise OutputError(f"'{target}' is there already", "name another file, or add --replace")
    part = atomic_files.part_of(target)
    try:
        atomic_files.clear_left(target.parent)
        part.unlink(missing_ok=True)
        atomic_files.make_private(part)
        yield part
        atomic_files.to_disk(part)
        part.replace(target)
        atomic_files.folder_to_disk(target.parent)
    except OSError as error:
        raise unwritten(target, error.strerror or str(error)) from error
    finally:
        for ending in ("", *SIDES):
            with contextlib.suppress(OSError):
                part.with_name(part.name + ending).unlink(missing_ok=True)
