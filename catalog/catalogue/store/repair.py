"""What a check-up found, put right: measured anew, or taken as it is now."""

from __future__ import annotations

import sqlite3

from catalog.catalogue.index.index_writing import rewrite_index
from catalog.catalogue.patterns.pattern_rows import broken_patterns, write_digest
from catalog.catalogue.store import bundle_list, digests
from catalog.catalogue.store.bundle_integrity import bundle_faults, state_or_why
from catalog.catalogue.store.file_transactions import transaction
from catalog.catalogue.transactions import change_bundle
from catalog.system.progress import Progress, unreported

_CLEARED = (
    "delete from swatches where bundle_id = :bundle or square_id in {squares}",
    "delete from crops where square_id in {squares}",
    """update photos set light = null, evidence = '', expected_error = 0, unevenness = 1,
        measured_from = '' where bundle_id = :bundle""",
)
_SQUARES = "(select id from squares where bundle_id = :bundle)"


def mend(connection: sqlite3.Connection, name: str, tell: Progress = unreported) -> None:
    """Measure a bundle anew from its photos; where only its index was wrong, write that anew.

    Parameters
    ----------
    connection : sqlite3.Connection
        An open catalogue, in no transaction.
    name : str
        Of a bundle all of whose faults are mendable.
    tell : callable
        Told what is being done.
    """
    with transaction(connection):
        number = bundle_list.bundle_id(connection, name)
        rewrite_index(connection, number)
        if not any(bundle_faults(connection, number, name)):
            return  # only the index was wrong
        for statement in _CLEARED:
            connection.execute(statement.format(squares=_SQUARES), {"bundle": number})
        digests.write_digests(connection, number, digests.MEASURED)
    change_bundle(connection, name, lambda rows: rows.events, None, tell)


def keep_as_is(connection: sqlite3.Connection) -> None:
    """Take all bundles and patterns that can be understood as they are now, whatever changed them.

    What can be measured anew isn't taken so but stays to be mended.
    """
    with transaction(connection):
        for (number,) in connection.execute("select id from bundles").fetchall():
            if state_or_why(connection, number)[0] is not None:
                digests.rewrite_unmeasured_digests(connection, number)
                rewrite_index(connection, number)
        digests.remove_lost_digests(connection)
        for number, _, understood in list(broken_patterns(connection)):
            if understood:
                write_digest(connection, number)
