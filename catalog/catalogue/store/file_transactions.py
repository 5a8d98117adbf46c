"""Changes of the catalogue's file that are whole or not at all, and looks at one state of it."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def transaction(connection: sqlite3.Connection) -> Iterator[None]:
    """Make all changes inside it, or none, as the only writer."""
    with _begun(connection, "begin immediate"):
        yield
        connection.execute("commit")


@contextmanager
def trial(connection: sqlite3.Connection) -> Iterator[None]:
    """Make changes inside it to see what comes of them, and take them all back."""
    with _begun(connection, "begin immediate"):
        yield


@contextmanager
def snapshot(connection: sqlite3.Connection) -> Iterator[None]:
    """Read one state of the file, whatever is written meanwhile."""
    with _begun(connection, "begin"):
        yield


@contextmanager
def _begun(connection: sqlite3.Connection, begin: str) -> Iterator[None]:
    """Take back in the end what wasn't committed."""
    connection.execute(begin)
    try:
        yield
    finally:
        if connection.in_transaction:  # some errors end it
            connection.execute("rollback")
