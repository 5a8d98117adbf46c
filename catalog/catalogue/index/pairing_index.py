"""What was said of which squares may go together, kept so that no bundle has to be replayed."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import msgspec

from catalog.catalogue.events.standing_rules import StandingRules
from catalog.catalogue.index.index_rows import current_parts
from catalog.catalogue.records import State
from catalog.catalogue.store import digests, row_reading

READ_AT_ONCE: Final = 256
"""Bundles read with one query, which a database takes so many numbers in."""


@dataclass(frozen=True)
class Pairing:
    """What was said of which squares of a bundle may go together, by their numbers."""

    locks: tuple[tuple[int, ...], ...]
    forbidden: tuple[tuple[int, int], ...]
    rules: StandingRules


def pairings_of(connection: sqlite3.Connection, bundles: Sequence[int]) -> list[Pairing]:
    """Return what was said of which squares of each bundle may go together.

    Raises
    ------
    CatalogueError
        There is no such bundle, or its rows are damaged.
    """
    read = msgspec.json.Decoder(Pairing)
    kept: dict[int, tuple[memoryview, ...]] = {}
    for start in range(0, len(bundles), READ_AT_ONCE):
        some = bundles[start : start + READ_AT_ONCE]
        kept.update(current_parts(connection, some, "deeds", ("pairing",)))
    with digests.understood("some bundle"):
        return [
            read.decode(kept[bundle][0])
            if bundle in kept
            else _pairing(state_of(connection, bundle, whole=True))
            for bundle in bundles
        ]


def _pairing(state: State) -> Pairing:
    return Pairing(state.locks, state.forbidden, state.rules)


def packed_pairing(state: State) -> bytes:
    """Return what the index holds of it."""
    return msgspec.json.encode(_pairing(state))


def state_of(connection: sqlite3.Connection, bundle: int, *, whole: bool) -> State:
    """Return what follows from a bundle's rows; see `row_reading.record`."""
    rows = row_reading.record(connection, bundle, whole=whole, measured=False)
    return row_reading.state_of(rows)
