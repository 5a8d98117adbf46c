"""Sets that were shown, written down so that they stay."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from typing import TYPE_CHECKING

from catalog.catalogue.index.index_writing import write_index
from catalog.catalogue.records import StoredBundle
from catalog.catalogue.standing.choices import fresh_choice
from catalog.catalogue.store import digests, row_reading, row_writing
from catalog.catalogue.store.file_transactions import transaction
from catalog.catalogue.transactions import at_version

if TYPE_CHECKING:
    from catalog.catalogue.standing.standing_records import StandingSet


def stand(
    sql: sqlite3.Connection, kept: StoredBundle, sets: Iterable[StandingSet] | None = None
) -> StoredBundle:
    """Write down which sets a bundle has; its version stays.

    Parameters
    ----------
    sql : sqlite3.Connection
        In no transaction.
    kept : StoredBundle
    sets : iterable of StandingSet, optional
        As `catalog.catalogue.standing.choices.chosen_sets` gives them, if they are known.

    Returns
    -------
    StoredBundle
        As it was where all its sets stand already, or another command has changed it meanwhile.
    """
    choice = fresh_choice(kept, "shown", sets)
    if choice is None:
        return kept
    with transaction(sql):
        if not at_version(sql, kept.id, kept.version):
            return kept
        rows = row_reading.record(sql, kept.id)
        if rows.choices == kept.choices:
            row_writing.put_event(sql, kept.id, choice, kept.version)
            digests.write_digests(sql, kept.id, ("deeds",))
            write_index(sql, kept.id, kept.state)
            rows = row_reading.record(sql, kept.id, whole=False)
        return row_reading.stored_bundle(rows)
