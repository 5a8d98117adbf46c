"""The rows of the index: what follows from a bundle's rows, with the state that it was made of."""

from __future__ import annotations

import sqlite3
import zlib
from collections.abc import Mapping, Sequence
from typing import Final, Literal

INDEX_SINCE: Final = 5
"""Version of the tables from which on there is an index; see `catalog.catalogue.store.schema`."""
PICTURES_SINCE: Final = 6
"""Version from which on it holds which squares a bundle's picture shows."""
LAYOUT: Final = 1
"""Of the packed parts; one of another layout is passed over."""
Part = Literal["squares", "hand", "wall", "pairing", "picture"]
"""Squares with what else they are looked through by; the colours of their prints as seen in the
hand and at the wall; what was said of which squares may go together; the squares of its picture."""
_CHECK: Final = 4
"""Bytes of the check sum at a part's end."""


def has_index(connection: sqlite3.Connection) -> bool:
    """Tell whether the catalogue has a table for it; one of an older calicount has none."""
    return _version(connection) >= INDEX_SINCE


def has_pictures(connection: sqlite3.Connection) -> bool:
    """Tell whether its table takes the squares of pictures; that of an older calicount doesn't."""
    return _version(connection) >= PICTURES_SINCE


def _version(connection: sqlite3.Connection) -> int:
    (version,) = connection.execute("pragma user_version").fetchone()
    return int(version)


def states(connection: sqlite3.Connection, bundle: int) -> Mapping[str, str]:
    """Return by part of a bundle, as digests know them, what an index made from it names."""
    rows = connection.execute("select part, digest from seals where bundle_id = ?", (bundle,))
    return {part: f"{LAYOUT} {digest}" for part, digest in rows}


def current_parts(
    connection: sqlite3.Connection, bundles: Sequence[int], made_from: str, parts: Sequence[Part]
) -> dict[int, tuple[memoryview, ...]]:
    """Return parts of the index by bundle.

    Parameters
    ----------
    connection : sqlite3.Connection
    bundles : sequence of int
    made_from : str
        The part of a bundle, as digests know them, that these follow from.
    parts : sequence of Part

    Returns
    -------
    dict
        Without the bundles of which one is missing, of another state, or broken. They are views
        of what was read, so that megabytes aren't copied.
    """
    if not has_index(connection):
        return {}
    rows = connection.execute(
        f"""select i.bundle_id, i.part, i.content from seals s join colour_index i
            on i.bundle_id = s.bundle_id and i.made_from = '{LAYOUT} ' || s.digest
        where s.part = ? and s.bundle_id in ({", ".join("?" * len(bundles))})
            and i.part in ({", ".join("?" * len(parts))})""",  # one text, which is read once
        (made_from, *bundles, *parts),
    )
    found: dict[int, dict[str, memoryview]] = {}
    for bundle, part, content in rows:
        if isinstance(content, bytes) and _is_whole(content):
            found.setdefault(bundle, {})[part] = memoryview(content)[:-_CHECK]
    whole = {bundle: kept for bundle, kept in found.items() if len(kept) == len(parts)}
    return {bundle: tuple(kept[part] for part in parts) for bundle, kept in whole.items()}


def put_part(
    connection: sqlite3.Connection, bundle: int, part: Part, made_from: str, content: bytes
) -> None:
    """Write a part in place of what was there."""
    connection.execute(
        """insert or replace into colour_index (bundle_id, part, made_from, content)
        values (?, ?, ?, ?)""",
        (bundle, part, made_from, checked(content)),
    )


def checked(content: bytes) -> bytes:
    """Return a part with its check sum, as it is kept."""
    return content + zlib.crc32(content).to_bytes(_CHECK, "little")


def _is_whole(content: bytes) -> bool:
    told = memoryview(content)
    return zlib.crc32(told[:-_CHECK]).to_bytes(_CHECK, "little") == told[-_CHECK:]
