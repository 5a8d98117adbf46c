"""Which squares a bundle's small picture shows, kept so that a list of bundles reads none whole."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from typing import Final

import numpy as np

from catalog.bundle.families import rainbow_order
from catalog.catalogue.index.index_rows import current_parts
from catalog.catalogue.store import row_reading
from catalog.models import Swatch

SHOWN: Final = 15
"""Squares of a bundle's picture, at most: five by three (choice of ours)."""


def squares_of_picture(connection: sqlite3.Connection, bundle: int) -> tuple[int, ...]:
    """Return the numbers of squares from all over a bundle's colours, in rainbow order.

    Raises
    ------
    CatalogueError
        There is no such bundle, or its rows are damaged.
    """
    kept = current_parts(connection, [bundle], "swatches", ("picture",)).get(bundle)
    if kept is None:
        kept = (memoryview(packed_picture(swatches_of(connection, bundle, whole=True))),)
    return tuple(np.frombuffer(kept[0], "<i8").tolist())


def packed_picture(swatches: Mapping[int, Swatch]) -> bytes:
    """Return what the index holds of it: by number a bundle's squares in."""
    numbers = {swatch.label: number for number, swatch in swatches.items()}
    ordered = rainbow_order(tuple(swatches.values()))
    places = np.linspace(0, len(ordered) - 1, min(len(ordered), SHOWN)).round()
    return np.array([numbers[ordered[int(place)].label] for place in places], "<i8").tobytes()


def swatches_of(
    connection: sqlite3.Connection, bundle: int, *, whole: bool
) -> Mapping[int, Swatch]:
    """Return a bundle's squares by number; see `row_reading.record`."""
    return row_reading.record(connection, bundle, whole=whole).swatches
