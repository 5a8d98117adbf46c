"""The sets of a bundle whose colours have moved a little: chosen again and again, quickly.

What is asked is the same each time, and so is nearly all that is looked up for it; differences are
worked out anew, for all times at once, where they could decide something.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.bundle.eligibility import requests_of
from catalog.bundle.pieces import pieces_from
from catalog.bundle.square_differences import moved_differences
from catalog.colour.shared_differences import unshared
from catalog.matching.difference_table import DifferenceTable, make_table, tables_of
from catalog.matching.requests import choose
from catalog.matching.sets_for_needs import choose_sets
from catalog.models import Lab, MatchRules, Need, Palette, Swatch

Floats = NDArray[np.float64]
Places = NDArray[np.intp]
Labels = tuple[str, ...]

NEAREST_MOVED: Final = 24
"""Neighbours of each square to which its difference is worked out anew; to the others it stays. On
25 photos with truth every set was flagged as when all were worked out anew; with 20 one set of 490
wasn't, with 12 four, most of them of squares that go with none (`tests/bench/doubts.py` has the
photos); 30 took a tenth longer."""
ROWS_AT_ONCE: Final = 256
"""Squares whose nearest are looked for at once."""


def sets_when_moved(
    swatches: Sequence[Swatch], needs: Sequence[Need], rules: MatchRules, moves: Floats
) -> Iterator[list[Labels]]:
    """Yield the sets that the needs ask of a bundle whose colours have moved.

    Parameters
    ----------
    swatches : sequence of Swatch
    needs : sequence of Need
    rules : MatchRules
        With no standing sets.
    moves : array, (times, n, 3)
        CIELAB, by which all colours of each square move each time.
    """
    asking = [need for need in needs if need.source == "bundle"]
    whole = all(pieces_from(one, need) <= 1 for need in asking for one in swatches)
    by_hue = "hue" in {rules.match_by, *(need.match_by for need in asking)}
    if not asking or not whole or by_hue:
        for each in moves:
            moved = [moved_swatch(one, move) for one, move in zip(swatches, each, strict=True)]
            yield [one.swatches for one in choose_sets(moved, needs, rules).sets]
        return
    requests = requests_of(asking, swatches)
    table = make_table(swatches, requests, rules)
    tables = tables_of(table, requests)
    unshared()  # here they are changed
    place = [table.place[one.label] for one in swatches]
    ordered = np.empty_like(moves)
    ordered[:, place] = moves
    labels = [one.label for one in table.swatches]
    moved_by = {one.rules.match_by: _moved_tables(one, ordered) for one in tables}
    for _ in moves:
        now = {by: next(each) for by, each in moved_by.items()}
        choice = choose([now[one.rules.match_by] for one in tables], requests, rules)
        yield [tuple(labels[at] for at in places) for _, (_, places, _) in choice.sets]


def _moved_tables(table: DifferenceTable, moves: Floats) -> Iterator[DifferenceTable]:
    """Yield a table with its squares moved, each time the same: of thousands it takes 200 MB."""
    i, j = _near(table.difference)
    away = moved_differences(table.swatches, table.rules.likeness, moves, (i, j))
    for move, moved in zip(moves, away, strict=True):
        table.difference[i, j] = table.difference[j, i] = moved
        yield replace(table, light=table.light + move[:, 0])


def _near(difference: Floats) -> tuple[Places, Places]:
    """Return the pairs, the smaller first, of which one is among the other's nearest."""
    many = min(NEAREST_MOVED, len(difference) - 1)  # itself beside them
    near = np.zeros(difference.shape, bool)
    for start in range(0, len(near), ROWS_AT_ONCE):
        some = slice(start, start + ROWS_AT_ONCE)
        places = np.argpartition(difference[some], many, axis=1)[:, : many + 1]
        np.put_along_axis(near[some], places, values=True, axis=1)
    near |= near.T
    i, j = np.nonzero(near)
    return i[i < j], j[i < j]


def moved_swatch(swatch: Swatch, move: Floats) -> Swatch:
    """Return a square of other colours: its mean and its palettes moved as far."""
    lightness, a, b = move.tolist()

    def moved(colour: Lab) -> Lab:
        return colour[0] + lightness, colour[1] + a, colour[2] + b

    def along(palette: Palette) -> Palette:
        return tuple(replace(one, lab=moved(one.lab)) for one in palette)

    return replace(
        swatch,
        lab=moved(swatch.lab),
        palette=along(swatch.palette),
        palette_at_wall=along(swatch.palette_at_wall),
    )
