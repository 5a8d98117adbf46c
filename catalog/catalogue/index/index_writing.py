"""The index written with what it follows from, and compared with it."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping

from catalog.catalogue.index.colour_index import COLOUR_PARTS, packed_colours
from catalog.catalogue.index.index_rows import checked, has_index, has_pictures, put_part, states
from catalog.catalogue.index.pairing_index import packed_pairing, state_of
from catalog.catalogue.index.picture_index import packed_picture, swatches_of
from catalog.catalogue.records import State
from catalog.catalogue.store import digests
from catalog.errors import CatalogueError
from catalog.models import Swatch


def write_index(
    connection: sqlite3.Connection,
    bundle: int,
    state: State | None = None,
    swatches: Mapping[int, Swatch] | None = None,
) -> None:
    """Write the index of a bundle as it is now, once its digests have been written.

    Parameters
    ----------
    connection : sqlite3.Connection
        In the transaction of a change.
    bundle : int
    state : State, optional
        As it follows from the bundle's rows, if it is known.
    swatches : mapping, optional
        As the bundle's rows hold them, by square, if they are known.
    """
    kept = dict(
        connection.execute(
            "select part, made_from from colour_index where bundle_id = ?", (bundle,)
        ).fetchall()
    )
    now = states(connection, bundle)
    if any(kept.get(part) != now["swatches"] for part in COLOUR_PARTS):
        for part, content in packed_colours(connection, bundle).items():
            put_part(connection, bundle, part, now["swatches"], content)
    if has_pictures(connection) and kept.get("picture") != now["swatches"]:
        known = swatches_of(connection, bundle, whole=False) if swatches is None else swatches
        _put_picture(connection, bundle, known)
    if kept.get("pairing") != now["deeds"]:
        pairing = packed_pairing(state or state_of(connection, bundle, whole=False))
        put_part(connection, bundle, "pairing", now["deeds"], pairing)


def rewrite_index(connection: sqlite3.Connection, bundle: int) -> None:
    """Write the index of a bundle anew; where its rows aren't as calicount wrote them, none."""
    connection.execute("delete from colour_index where bundle_id = ?", (bundle,))
    try:
        digests.refuse_broken(connection, bundle, ("squares", "deeds", "swatches"))
        write_index(connection, bundle)
    except CatalogueError:  # check-up tells of it, and what mends the rows writes the index
        connection.execute("delete from colour_index where bundle_id = ?", (bundle,))


def write_whole_index(connection: sqlite3.Connection) -> None:
    """Write the index of all bundles."""
    for (bundle,) in connection.execute("select id from bundles").fetchall():
        rewrite_index(connection, bundle)


def add_pictures(connection: sqlite3.Connection) -> None:
    """Write the squares of all bundles' pictures to an index that has all else.

    Of a bundle whose rows aren't as calicount wrote them, none.
    """
    for (bundle,) in connection.execute("select id from bundles").fetchall():
        try:
            _put_picture(connection, bundle, swatches_of(connection, bundle, whole=True))
        except CatalogueError:  # as above
            continue


def _put_picture(
    connection: sqlite3.Connection, bundle: int, swatches: Mapping[int, Swatch]
) -> None:
    made_from = states(connection, bundle)["swatches"]
    put_part(connection, bundle, "picture", made_from, packed_picture(swatches))


def is_as_written(connection: sqlite3.Connection, bundle: int, state: State) -> bool:
    """Tell whether the index of a bundle says what its rows say, which are sound."""
    if not has_index(connection):
        return True
    now = states(connection, bundle)
    expected = {
        part: (now["swatches"], checked(content))
        for part, content in packed_colours(connection, bundle).items()
    }
    expected["pairing"] = now["deeds"], checked(packed_pairing(state))
    if has_pictures(connection):
        shown = packed_picture(swatches_of(connection, bundle, whole=False))
        expected["picture"] = now["swatches"], checked(shown)
    rows = connection.execute(
        "select part, made_from, content from colour_index where bundle_id = ?", (bundle,)
    )
    return {part: (made_from, content) for part, made_from, content in rows} == expected
