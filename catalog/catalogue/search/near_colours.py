"""By which of its colours each square is nearest to one that is asked for."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from typing import Final

import msgspec
import numpy as np
from numpy.typing import NDArray

from catalog.bundle.naming.fabric_colours import ONE_COLOUR
from catalog.bundle.square_differences import compared_palette
from catalog.catalogue.store.print_encoding import StoredPrint
from catalog.colour.ciede2000 import ciede2000
from catalog.colour.palette_difference import palette_differences
from catalog.models import USUAL_LIKENESS, Lab, Likeness, Palette, PaletteColour

Floats = NDArray[np.float64]

COST_OF_SHARE: Final = 8.0
"""CIEDE2000 by which a colour counts as further away if it makes up a tenth of its square, twice
that for a hundredth: so a plain that is a visible step away (5 to 10, see
`catalog.bundle.tally_notes`) comes before a print that has the very colour in a tenth of it, and
one that is plainly another colour after it (choice of ours)."""

NO_PRINT: Final = StoredPrint((), (), None)


@dataclass(frozen=True)
class NearColour:
    """The colour of a print by which it is near."""

    lab: Lab
    share: float
    """Of the square's cloth, 0-1."""


@dataclass(frozen=True, eq=False)
class _ColourTable:
    """All colours of all squares."""

    owner: NDArray[np.intp]
    """(n,) place of the square in the table."""
    lab: Floats
    share: Floats
    of_print: NDArray[np.bool_]
    """Whether it is one of several; else the mean of its square."""


@dataclass(frozen=True, eq=False)
class Nearness:
    """How near squares are to a colour."""

    cost: Floats
    """(n,) by which they are to be sorted: difference, and what small shares cost."""
    difference: Floats
    """(n,) CIEDE2000 from the nearest of its colours."""
    by: tuple[NearColour | None, ...]
    """Which that is; None where it is the square's mean."""


def nearness(connection: sqlite3.Connection, table: Floats, colour: Lab) -> Nearness:
    """Return how near squares are to a colour by any of theirs.

    Parameters
    ----------
    connection : sqlite3.Connection
        In a snapshot.
    table : array, (n, 4) and more columns
        Number, L*, a* and b* of each square.
    colour : Lab
        CIELAB D65.

    Returns
    -------
    Nearness
        Of a print its palette's colours count, as seen in the hand; of a tonal print its mean too;
        of a plain square, and of one kept without a palette, its mean alone.
    """
    colours = _colours(connection, table)
    away = ciede2000(np.array(colour), colours.lab)
    cost = away - COST_OF_SHARE * np.log10(colours.share)
    order = np.lexsort((cost, colours.owner))
    _, first = np.unique(colours.owner[order], return_index=True)
    best = order[first]
    by = tuple(
        NearColour(_lab(colours.lab[one]), float(colours.share[one]))
        if colours.of_print[one]
        else None
        for one in best
    )
    return Nearness(cost[best], away[best], by)


def differences_from_square(
    connection: sqlite3.Connection,
    table: Floats,
    square: int,
    mean: Lab,
    likeness: Likeness = USUAL_LIKENESS,
) -> Floats:
    """Return how far squares look from one, (n,), CIEDE2000.

    Parameters
    ----------
    connection : sqlite3.Connection
        In a snapshot.
    table : array, (n, 4) and more columns
        Number, L*, a* and b* of each square.
    square : int
        The one's number.
    mean : Lab
        Its mean colour.
    likeness : Likeness
        By what they are compared.

    Returns
    -------
    array
        The difference of their palettes (see `catalog.colour.palette_difference`); of plain
        squares, and of those kept without a palette, that of their means.
    """
    told, read = _prints(connection), msgspec.json.Decoder(StoredPrint)
    palettes: list[Palette] = []
    for number, *colour in ((square, *mean), *table[:, :4].tolist()):
        text = told.get(int(number))
        kept = read.decode(text) if text else NO_PRINT
        stored = kept.palette_at_wall if likeness.seen_from == "wall" else kept.palette
        seen = tuple(PaletteColour((one.lightness, one.a, one.b), one.share) for one in stored)
        palettes.append(compared_palette(seen, _lab(np.array(colour)), likeness.match_by))
    return palette_differences(palettes[0], palettes[1:], likeness.k_lightness)


def _colours(connection: sqlite3.Connection, table: Floats) -> _ColourTable:
    told, read = _prints(connection), msgspec.json.Decoder(StoredPrint)
    rows: list[tuple[float, ...]] = []
    for place, (number, *mean) in enumerate(table[:, :4].tolist()):
        text = told.get(int(number))
        kept = read.decode(text) if text else NO_PRINT
        scale = kept.look.scale if kept.look else "large" if len(kept.palette) > 1 else "plain"
        if scale in ONE_COLOUR:
            rows.append((place, *mean, 1.0, False))
        if scale != "plain":
            own = ((one.lightness, one.a, one.b, one.share) for one in kept.palette if one.share)
            rows += [(place, *colour, True) for colour in own]
    found = np.array(rows, np.float64).reshape(-1, 6)
    return _ColourTable(found[:, 0].astype(np.intp), found[:, 1:4], found[:, 4], found[:, 5] > 0)


def _prints(connection: sqlite3.Connection) -> dict[int, str]:
    """Return by square what is kept of its print; none in a catalogue made before there was."""
    columns = {row[1] for row in connection.execute("pragma table_info(swatches)")}
    if "print" not in columns:
        return {}
    rows = connection.execute("select square_id, print from swatches where print is not null")
    return {row[0]: row[1] for row in rows}


def _lab(colour: Floats) -> Lab:
    lightness, a, b = (float(value) for value in colour)
    return lightness, a, b
