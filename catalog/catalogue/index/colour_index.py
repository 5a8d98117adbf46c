"""The colours of all squares, packed bundle by bundle, by which all are looked through at once.

It follows from the swatches and is never believed over them: what is read from it was made from the
swatches of the digest that is kept, whole, and what is shown of a square comes from its own row,
which is compared with the digest of the row that was packed. What isn't so is read from the
swatches themselves. README tells what else was tried.
"""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Iterable, Sequence
from typing import Final, get_args

import msgspec
import numpy as np

from catalog.catalogue.index.index_rows import Part, current_parts
from catalog.catalogue.store import digests
from catalog.catalogue.store.print_encoding import StoredPrint
from catalog.models import PrintScale, SeenFrom, Value

COLOUR_PARTS: Final[tuple[Part, ...]] = ("squares", "hand", "wall")
VALUES: Final[tuple[Value, ...]] = get_args(Value)
SCALES: Final[tuple[PrintScale, ...]] = get_args(PrintScale)
SQUARE: Final = np.dtype(
    [
        ("square", "<i8"), ("photo", "<i8"), ("lab", "<f8", 3), ("uncertainty", "<f8"),
        ("own_uncertainty", "<f8"), ("row", "<u8"), ("value", "u1"), ("scale", "u1"),
        ("free", "<u2"), ("hand", "<u2"), ("wall", "<u2"),
    ]
)  # fmt: skip
"""A square: ``value`` and ``scale`` are places in `VALUES` and `SCALES`, ``hand`` and ``wall`` the
number of its colours in these parts, ``row`` the first 8 bytes of its row's digest."""
COLOUR: Final = 4
"""64-bit numbers of a colour: L*, a*, b* and its share of the cloth."""
NO_PRINT: Final = StoredPrint((), (), None)


def colours_of_bundles(
    connection: sqlite3.Connection, bundles: Sequence[int], seen_from: SeenFrom | None = None
) -> list[tuple[memoryview, memoryview]]:
    """Return each bundle's squares, packed as `SQUARE`, and their prints' colours, `COLOUR` each.

    Parameters
    ----------
    connection : sqlite3.Connection
        In a snapshot.
    bundles : sequence of int
    seen_from : {"wall", "hand"}, optional
        As which the colours are seen; none for None.

    Returns
    -------
    list of tuple of memoryview
        Both in reading order.
    """
    parts: tuple[Part, ...] = ("squares", *((seen_from,) if seen_from else ()))
    kept = current_parts(connection, bundles, "swatches", parts)
    found = []
    for bundle in bundles:
        told = kept.get(bundle)
        if told is None:
            packed = packed_colours(connection, bundle)
            told = tuple(memoryview(packed[part]) for part in parts)
        found.append((told[0], told[1] if seen_from else memoryview(b"")))
    return found


def refuse_changed(
    connection: sqlite3.Connection, bundle: int, rows: Iterable[sqlite3.Row]
) -> None:
    """Raise `CatalogueError` where rows of a bundle's swatches aren't those that calicount wrote.

    By the index each row is judged by itself; without one, all of the bundle's are.
    """
    kept = current_parts(connection, [bundle], "swatches", ("squares",)).get(bundle)
    if kept is None:
        digests.refuse_broken(connection, bundle, ("swatches",))
        return
    squares = np.frombuffer(kept[0], SQUARE)
    known = dict(zip(squares["square"].tolist(), squares["row"].tolist(), strict=True))
    if any(known.get(row["square_id"]) != _row_digest(row) for row in rows):
        raise digests.changed(connection, bundle)


def packed_colours(connection: sqlite3.Connection, bundle: int) -> dict[Part, bytes]:
    """Return the parts that a bundle's swatches make, whatever they hold."""
    with digests.understood("some bundle"):
        photos = dict(
            connection.execute(
                "select id, photo_id from squares where bundle_id = ?", (bundle,)
            ).fetchall()
        )
        read = msgspec.json.Decoder(StoredPrint)
        squares: list[tuple[object, ...]] = []
        hand: list[tuple[float, ...]] = []
        wall: list[tuple[float, ...]] = []
        for row in digests.rows_of(connection, bundle, "swatches"):
            text = row["print"] if "print" in row.keys() else None  # noqa: SIM118 - in a row are its values
            told = read.decode(text) if text else NO_PRINT
            squares.append(_square(row, photos[row["square_id"]], told))
            hand += [(one.lightness, one.a, one.b, one.share) for one in told.palette]
            wall += [(one.lightness, one.a, one.b, one.share) for one in told.palette_at_wall]
        return {
            "squares": np.array(squares, SQUARE).tobytes(),
            "hand": np.array(hand, np.float64).tobytes(),
            "wall": np.array(wall, np.float64).tobytes(),
        }


def _square(row: sqlite3.Row, photo: int, told: StoredPrint) -> tuple[object, ...]:
    usual = "large" if len(told.palette) > 1 else "plain"
    return (
        row["square_id"],
        photo,
        (row["lightness"], row["a"], row["b"]),
        row["uncertainty"],
        row["own_uncertainty"],
        _row_digest(row),
        VALUES.index(row["value"]),
        SCALES.index(told.look.scale if told.look else usual),
        row["state"] == "",
        len(told.palette),
        len(told.palette_at_wall),
    )


def _row_digest(row: sqlite3.Row) -> int:
    written = ascii(tuple(row)).encode("ascii")
    return int.from_bytes(hashlib.sha256(written).digest()[:8], "little")
