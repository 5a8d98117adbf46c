"""Which blocks a pattern file has, where each lies, and how many squares that takes."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from string import ascii_uppercase
from typing import Final

from catalog.cutting.quilt_sizes.block_map import BlockMap, MappedBlock, alternating
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.pattern.toml_table import TomlTable

MAX_BLOCK_KINDS: Final = 26
"""Different blocks in a quilt: one for each capital letter."""
MAX_MAP_LINES: Final = 100
MAX_PARTS: Final = 64
"""Of a unit: a log cabin of eight rounds has 33."""
WAYS: Final = ("chequered", "rows", "columns")
SETS: Final = ("straight", "on point", "offset rows")

_PLACE: Final = re.compile("([A-Za-z])(0|90|180|270)?")
_PIECE: Final = re.compile(r"(.+?)(?: [1-9][0-9]{0,2})?")


@dataclass(frozen=True)
class BlockCounts:
    """How many there are of each block, and which pieces it is made of."""

    numbers: tuple[int, ...]
    """Of each different block in the quilt; one number where there is but one block."""
    names: tuple[frozenset[str], ...] = ()
    """Of the pieces that each block's units name."""

    @property
    def total(self) -> int:
        """Blocks in all."""
        return sum(self.numbers)

    def each(self, name: str, squares: int) -> tuple[int, ...]:
        """Return for each block the squares of a piece of which each that names it takes so many.

        One that no block names is looked for in the first, where its absence is refused.
        """
        named = [name in names for names in self.names]
        if not any(named):
            return (squares, *(0 for _ in self.numbers[1:]))
        return tuple(squares if own else 0 for own in named)


def block_tables(top: TomlTable) -> tuple[TomlTable, ...]:
    """Return the tables of the blocks: the one [block], or each [[block]]."""
    if not top.holds_list("block"):
        return (top.table("block"),)
    found = tuple(top.tables("block"))
    if not 1 <= len(found) <= MAX_BLOCK_KINDS:
        problem = f"{len(found)} different blocks can't be planned"
        top.refuse("block", problem, f"write 1 to {MAX_BLOCK_KINDS}")
    return found


def marks_of(tables: Sequence[TomlTable]) -> tuple[str, ...]:
    """Return the letters by which the map calls the blocks; "" where there is but one without."""
    if len(tables) == 1 and "mark" not in tables[0]:
        return ("",)
    marks: list[str] = []
    for table in tables:
        mark = table.text("mark", longest=1)
        if not mark.isascii() or not mark.isalpha():
            table.refuse("mark", f'"{mark}" is no letter', 'write one letter, such as "A"')
        if mark in marks:
            free = next(sign for sign in ascii_uppercase if sign not in marks)
            again = f'"{mark}" is there already'
            table.refuse("mark", again, "give another letter", table.put("mark", free))
        marks.append(mark)
    return tuple(marks)


def map_of(top: TomlTable, layout: TomlTable) -> BlockMap:
    """Return where each block lies.

    Raises
    ------
    PatternError
        With the line and the field that is wrong.
    """
    marks = marks_of(block_tables(top))
    on_point = layout.choice("set", SETS, SETS[0]) == "on point"
    if "map" not in layout:
        way = layout.choice("alternate", WAYS, WAYS[0])
        return alternating(len(marks), way, on_point=on_point)
    if "alternate" in layout:
        problem, gone = "it stands beside alternate", layout.put("alternate", None)
        layout.refuse("map", problem, "give only one: alternate or map", gone)
    lines = layout.texts("map", MAX_MAP_LINES)
    return BlockMap(tuple(_line(layout, line, marks) for line in lines))


def _line(layout: TomlTable, line: str, marks: Sequence[str]) -> tuple[MappedBlock, ...]:
    found = [_PLACE.fullmatch(one) for one in line.split()]
    if not 1 <= len(found) <= MAX_MAP_LINES:
        layout.refuse("map", f'"{line[:40]}" names {len(found)} blocks', "name one or more in it")
    places = []
    for one, text in zip(found, line.split(), strict=True):
        if one is None or one[1] not in marks:
            problem = f'"{text[:20]}" is no block; there are {", ".join(marks)}'
            layout.refuse("map", problem, 'write a letter and its turn, as in "A" or "A90"')
        places.append(MappedBlock(marks.index(one[1]), int(one[2] or 0)))
    return tuple(places)


def counts_of(top: TomlTable, layout: TomlTable, rows: int, columns: int) -> BlockCounts:
    """Return how many of each block a quilt of so many rows and columns takes.

    Raises
    ------
    PatternError
        A block lies nowhere.
    """
    laid = layout_of(layout, rows, columns)
    tables = block_tables(top) if "block" in top else ()
    if len(tables) < 2:
        return BlockCounts((laid.blocks,))
    found = map_of(top, layout).counts(laid)
    for number, mark in enumerate(marks_of(tables)):
        if not found[number]:
            key = "map" if "map" in layout else "rows"
            near = [layout.put("map", None)] if key == "map" else []
            layout.refuse(key, f"block {mark} lies nowhere", f"give {mark} a place", *near)
    numbers = tuple(found[number] for number in range(len(tables)))
    return BlockCounts(numbers, tuple(frozenset(_names(table)) for table in tables))


def _names(table: TomlTable) -> list[str]:
    """Return the pieces that a block's units name, as far as that can be read."""
    named = []
    for unit in table.tables("unit"):
        for text in unit.texts("fabrics", MAX_PARTS) if "fabrics" in unit else ():
            found = _PIECE.fullmatch(text)
            named += [text, *([found[1]] if found else [])]
    return named


def layout_of(layout: TomlTable, rows: int, columns: int) -> Layout:
    """Return rows and columns as they are set, with blocks of an inch."""
    how = layout.text("set") if "set" in layout else SETS[0]
    offset = how == "offset rows"
    if offset and columns < 2:
        problem = "a single column has no rows to be offset"
        edit = layout.put("columns", 2)
        layout.refuse("columns", problem, "write columns = 2 or more", edit)
    return Layout(rows, columns, Fraction(1), on_point=how == "on point", offset=offset)
