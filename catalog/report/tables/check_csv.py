"""The tables of a check: places of a wall, and units against their trim size."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from catalog.cutting.plans import WallBlock, WallPlan
from catalog.models import MeasuredUnit, SeenPlace, WallCheck
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


def _unit_corner(number: int, axis: int) -> Column[MeasuredUnit]:
    return Column(
        f"{'xy'[axis]}{number + 1}",
        lambda unit: unit.square.corners[number][axis],
        "corner in the upright photo",
        "number",
        "px",
    )


UNITS: Final[tuple[Column[MeasuredUnit], ...]] = (
    Column("unit", lambda unit: unit.label, "its row and column"),
    Column("photo", lambda unit: unit.photo, "name of the photo"),
    *(_unit_corner(number, axis) for number in range(4) for axis in range(2)),
    Column("width_in", lambda unit: unit.square.width_in, "width", "number", "in", 3),
    Column("height_in", lambda unit: unit.square.height_in, "height", "number", "in", 3),
    Column("trim_in", lambda unit: float(unit.trim), "what it should measure", "number", "in", 4),
    Column("doubt_in", lambda unit: unit.doubt, "by how much it may be off unnoticed", "number",
           "in", 4),
    Column("fit", lambda unit: unit.fit, "fits, too small, larger or sewn in"),
)  # fmt: skip
"""Of ``units.csv``."""


def units_csv(units: Sequence[MeasuredUnit]) -> str:
    """Return ``units.csv``: a row for each unit."""
    return csv_of(UNITS, units)
