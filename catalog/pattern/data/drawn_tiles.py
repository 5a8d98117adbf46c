"""A block as it is drawn: units lying on a grid, each part painted with a piece of the pattern."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Final

from catalog.cutting.units.unit_kind import UnitKind
from catalog.cutting.units.units_by_name import find_unit
from catalog.errors import PatternError, UsageError
from catalog.pattern.data.cloth_groups import head_of
from catalog.pattern.data.field_edits import ROLES, Data, FieldError
from catalog.pattern.pattern_block import MAX_CELLS_IN_A_ROW

_CELL: Final = re.compile("([A-Za-z])(0|90|180|270)?")
_NUMBERED: Final = re.compile(r"(.+) ([1-9][0-9]{0,2})")


@dataclass(frozen=True)
class Paint:
    """What one part of a drawn unit is cut from."""

    piece: str
    """Name of a piece of the pattern, the first of its cloth; empty where it isn't painted yet."""
    tone: int = 1
    """Which of a set's squares, 1 the darkest; always 1 where none must match."""


@dataclass(frozen=True)
class Tile:
    """One unit in its place."""

    unit: str
    row: int
    """Of its upper left cell, from 0."""
    column: int
    wide: int
    """Cells that it covers as it lies."""
    high: int
    turn: int = 0
    """Degrees clockwise: 0, 90, 180 or 270."""
    paints: tuple[Paint, ...] = ()
    """In the order of the unit's parts."""
    at_a_time: int | None = None
    """None for the way that comes out."""
    trimmed: bool = False
    """Whether the file tells what it is trimmed to."""

    @property
    def shape(self) -> tuple[int, int]:
        """Cells that it covers across, and up and down, before it is turned."""
        return (self.high, self.wide) if self.turn % 180 else (self.wide, self.high)

    @property
    def kind(self) -> UnitKind:
        """All that is known of its unit, in its shape."""
        return find_unit(self.unit).in_shape(*self.shape)


@dataclass(frozen=True)
class DrawnBlock:
    """A block as drawn."""

    across: int
    down: int
    tiles: tuple[Tile, ...] = ()
    mark: str = ""
    more: Mapping[str, Any] = field(default_factory=dict)
    """Fields of its table that drawing doesn't touch."""

    def in_reading_order(self) -> DrawnBlock:
        """Return it with its tiles from the top, each row from the left."""
        return replace(self, tiles=tuple(sorted(self.tiles, key=lambda t: (t.row, t.column))))


def block_tables_of(data: Data) -> list[Data]:
    """Return the tables of the blocks; none where there is no block."""
    told = data.get("block")
    found = told if isinstance(told, list) else [told]
    return [one for one in found if isinstance(one, Mapping)]


def pieces_of_data(data: Data) -> dict[str, tuple[str, Data]]:
    """Return the role and the table of each piece by its name."""
    found = {}
    for role in ROLES:
        told = data.get(role)
        for piece in told if isinstance(told, list) else ():
            if isinstance(piece, Mapping):
                found[str(piece.get("name", role))] = (role, piece)
    return found


def drawn_blocks(data: Data) -> list[DrawnBlock]:
    """Return the blocks of a pattern as drawn.

    Raises
    ------
    PatternError
        A grid that can't be drawn, such as one with a letter that is no unit.
    """
    pieces = pieces_of_data(data)
    return [_drawn(table, pieces, number) for number, table in enumerate(block_tables_of(data))]


def _drawn(table: Data, pieces: Mapping[str, tuple[str, Data]], number: int) -> DrawnBlock:
    units = {str(one.get("mark")): one for one in table.get("unit", ()) if isinstance(one, Mapping)}
    rows = [str(line).split() for line in table.get("grid", ())]
    down, across = len(rows), max(map(len, rows), default=0)
    if not 1 <= down <= MAX_CELLS_IN_A_ROW or not 1 <= across <= MAX_CELLS_IN_A_ROW:
        problem = f"a grid of {across} x {down} cells can't be drawn"
        cure = f"make it 1 to {MAX_CELLS_IN_A_ROW} cells each way"
        raise FieldError(problem, cure, place=("block", number, "grid"))
    tiles = [
        _tile(units[found[1]], (r, c), int(found[2] or 0), pieces)
        for r, row in enumerate(rows)
        for c, text in enumerate(row)
        if (found := _CELL.fullmatch(text)) and found[1] in units
    ]
    more = {key: value for key, value in table.items() if key not in {"grid", "unit", "mark"}}
    return DrawnBlock(across, down, tuple(tiles), str(table.get("mark", "")), more)


def _tile(
    unit: Data, place: tuple[int, int], turn: int, pieces: Mapping[str, tuple[str, Data]]
) -> Tile:
    kind = _known_unit(unit)
    wide, high = (_count(unit.get(key, 1)) for key in ("wide", "high"))
    told = tuple(str(one) for one in unit.get("fabrics", ()))
    texts = kind.for_each_part(told) or ("",) * len(kind.parts)
    heads = head_of(pieces)
    paints = tuple(_paint(text, pieces, heads) for text in texts)
    if turn % 180:
        wide, high = high, wide
    way = unit.get("at_a_time")
    return Tile(
        *(kind.name, *place, wide, high, turn, paints),
        at_a_time=way if isinstance(way, int) else None,
        trimmed="trim" in unit,
    )


def _known_unit(unit: Data) -> UnitKind:
    try:
        return find_unit(str(unit.get("unit", "")))
    except UsageError as error:
        raise PatternError(error.problem, error.cure) from None


def _paint(text: str, pieces: Mapping[str, tuple[str, Data]], heads: Mapping[str, str]) -> Paint:
    name, which = text, 1
    if name not in pieces and (found := _NUMBERED.fullmatch(text)):
        name, which = found[1], int(found[2])
    role, piece = pieces.get(name, ("", {}))
    match = _count(piece.get("match", 1))
    return Paint(heads.get(name, name) if role else "", (which - 1) % match + 1)


def _count(value: object) -> int:
    return value if isinstance(value, int) and 1 <= value <= MAX_CELLS_IN_A_ROW else 1


def covered(tiles: Sequence[Tile]) -> dict[tuple[int, int], int]:
    """Return which tile covers each cell; of tiles that lie over one another the last."""
    return {
        (tile.row + r, tile.column + c): number
        for number, tile in enumerate(tiles)
        for r in range(tile.high)
        for c in range(tile.wide)
    }
