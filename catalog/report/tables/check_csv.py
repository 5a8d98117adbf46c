"""The table of a checked wall, ``wall_check.csv``."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from catalog.cutting.plans import WallBlock, WallPlan
from catalog.models import SeenPlace, WallCheck
from catalog.report.tables.columns import Column, csv_of

_Row = tuple[SeenPlace, WallBlock | None]


def _corner(number: int, axis: int) -> Column[_Row]:
    def of(row: _Row) -> float | None:
        return row[0].outline[number][axis] if row[0].outline else None

    return Column(f"{'xy'[axis]}{number + 1}", of, "corner in the upright photo", "number", "px")


CHECK: Final[tuple[Column[_Row], ...]] = (
    Column("place", lambda row: row[0].place, "letter of its row and number in it"),
    Column("state", lambda row: row[0].state, "what hangs there, against the plan"),
    Column("shows", lambda row: row[0].shows or "", "place whose planned block hangs here"),
    Column("turned", lambda row: row[0].turned_deg, "clockwise against the plan", "whole",
           "degrees"),
    Column("sure", lambda row: row[0].sure, "probability that this is right", "number", places=2),
    Column("planned_set", lambda row: row[1].sets if row[1] else (), "numbers of its sets", "list"),
    Column("shown_set", lambda row: row[0].set_number, "set whose cloth hangs there instead",
           "whole"),
    Column("photo", lambda row: row[0].photo, "name of the photo that shows it"),
    *(_corner(number, axis) for number in range(4) for axis in range(2)),
    Column("why", lambda row: row[0].near, "why it can't be told, or what it could be instead"),
)  # fmt: skip
"""Of ``wall_check.csv``."""


def check_csv(check: WallCheck, plan: WallPlan) -> str:
    """Return ``wall_check.csv``: a row for each place in the order of the plan."""
    blocks: Mapping[str, WallBlock] = {block.place: block for block in plan.blocks}
    return csv_of(CHECK, [(one, blocks.get(one.place)) for one in check.places])
