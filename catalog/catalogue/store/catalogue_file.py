"""The catalogue's file: opened, checked, changed in one transaction at a time."""

from __future__ import annotations

import contextlib
import os
import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from catalog.catalogue.store.digests import CHECK_UP
from catalog.catalogue.store.file_identity import reading_address, refuse_foreign_head, refuse_unfit
from catalog.catalogue.store.schema import bring_up_to_date, refuse_foreign
from catalog.errors import CatalogueError
from catalog.system import atomic_files
from catalog.system.progress import Progress, unreported

VARIABLE: Final = "CALICOUNT_CATALOGUE"
PATIENCE: Final = 30.0
"""Seconds for which a command waits while another one writes."""
_CURES: Final = {
    "full": "make room on the disk and try again; nothing was lost",
    "locked": "another calicount is writing to it; try again in a moment",
    "readonly": "the file or its folder may not be written to; name another with --catalogue",
    "not a database": "name another file with --catalogue, or take back a copy of it",
    "malformed": CHECK_UP,
    "unable to open": "see that its folder is there and may be written to, or name another file "
    "with --catalogue",
}


def default_file() -> Path:
    """Return where the catalogue is: what the environment says, else the user's data folder."""
    said = os.environ.get(VARIABLE)
    if said:
        return Path(said)
    import platformdirs

    return Path(platformdirs.user_data_dir("calicount", appauthor=False)) / "bundles.catalogue"


def connect(
    path: Path, patience: float = PATIENCE, tell: Progress = unreported
) -> sqlite3.Connection:
    """Open a catalogue to change it, made if missing, and bring it up to date.

    A new one may be read by its owner alone.

    Parameters
    ----------
    path : Path
    patience : float
        Seconds for which to wait while another command writes.
    tell : callable
        Told what is being done where that takes long.

    Raises
    ------
    CatalogueError
        It can't be opened, or isn't a catalogue.
    """
    refuse_unfit(path)
    with _made(path), explained(path):
        refuse_foreign_head(path)
        connection = _opened(path.absolute(), patience)
        try:
            connection.execute("pragma foreign_keys = on")
            refuse_foreign(connection)
            connection.execute("pragma synchronous = full")
            # first, so that a new file's head says whose it is
            bring_up_to_date(connection, tell=tell)
            _log_ahead(connection, patience)
        except BaseException:
            connection.close()
            raise
    return connection


def connect_to_read(path: Path, patience: float = PATIENCE) -> sqlite3.Connection:
    """Open a catalogue to look at it: neither it nor its folder is changed, and none is made.

    One of an older calicount stays as it is. Where there is none, an empty one is read.

    Raises
    ------
    CatalogueError
        It can't be opened, or isn't a catalogue.
    """
    refuse_unfit(path)
    with explained(path):
        if not path.exists() or path.stat().st_size == 0:
            connection = _opened(":memory:", patience)
            bring_up_to_date(connection)
            return connection
        refuse_foreign_head(path)
        connection = _opened(reading_address(path), patience, uri=True)
        try:
            connection.execute("pragma query_only = on")
            refuse_foreign(connection)
        except BaseException:
            connection.close()
            raise
    return connection


def _opened(address: Path | str, patience: float, *, uri: bool = False) -> sqlite3.Connection:
    connection = sqlite3.connect(
        address, timeout=patience, isolation_level=None, check_same_thread=False, uri=uri
    )
    connection.row_factory = sqlite3.Row
    return connection


@contextmanager
def _made(path: Path) -> Iterator[None]:
    """Make an empty file where none is; it goes again where nothing can be written to it."""
    made = False
    try:
        with atomic_files.folder_made(path.parent):
            with contextlib.suppress(FileExistsError):
                atomic_files.make_private(path.resolve())
                made = True
            try:
                yield
            except BaseException:
                if made and path.stat().st_size == 0:
                    path.unlink(missing_ok=True)
                raise
    except OSError as error:
        raise CatalogueError(
            f"the catalogue '{path}' can't be made ({error.strerror or error})",
            "name another file with --catalogue",
        ) from error


def _log_ahead(connection: sqlite3.Connection, patience: float) -> None:
    """Switch to a write-ahead log, which is kept in the file; SQLite doesn't wait for it itself.

    Where there can be none, as on some network drives, SQLite stays with what it has.
    """
    until = time.monotonic() + patience
    while connection.execute("pragma journal_mode").fetchone()[0] != "wal":
        try:
            connection.execute("pragma journal_mode = wal")
        except sqlite3.OperationalError as error:
            if "locked" not in str(error) or time.monotonic() > until:
                raise
            time.sleep(0.02)
        else:
            return


@contextmanager
def explained(path: Path) -> Iterator[None]:
    """Turn the database's own complaints into sentences."""
    try:
        yield
    except sqlite3.Error as error:
        text = str(error)
        cure = next((cure for word, cure in _CURES.items() if word in text), None)
        if cure is None and isinstance(error, sqlite3.ProgrammingError):
            raise
        raise CatalogueError(
            f"the catalogue '{path}' can't be used ({text})", cure or _CURES["malformed"]
        ) from error
