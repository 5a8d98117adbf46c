"""The block of a pattern file: its units and its grid."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from math import ceil
from string import ascii_letters
from typing import Final

from catalog.cutting.block_seams import sewing_order
from catalog.cutting.quilt import Block, BlockUnit, Cell, Patch, PieceKind
from catalog.cutting.quilt_units import kind_of, method_of, squares_per_block
from catalog.cutting.unit_faces import FACES
from catalog.cutting.units.cutting_method import Method
from catalog.cutting.units.units_by_name import find_unit, unit_name
from catalog.errors import CalicountError
from catalog.lengths import show_length
from catalog.pattern.data.field_edits import FieldEdit, of_piece
from catalog.pattern.pattern_map import MAX_PARTS
from catalog.pattern.toml_table import TomlTable
from catalog.phrases import decimal

Sides = tuple[Fraction, Fraction]
"""Width and length, inches."""

MAX_CELLS_IN_A_ROW: Final = 16
"""Cells in a row of a block: a feathered star takes no more."""
MIN_WIDTH: Final = Fraction(1, 4)
"""Inches finished; less than a seam is no strip."""
MAX_WIDTH: Final = Fraction(60)
BLOCK_FIELDS: Final[dict[str, tuple[str, ...]]] = {
    "block": ("mark", "grid", "unit"),
    "unit": ("mark", "unit", "at_a_time", "fabrics", "wide", "high", "trim"),
}

_CELL: Final = re.compile("([A-Za-z])(0|90|180|270)?")
_COVERED: Final = "."


def block_of(
    table: TomlTable, kinds: Sequence[PieceKind], number: int, mark: str, finished: Sides
) -> Block:
    """Read a [block].

    Parameters
    ----------
    table : TomlTable
    kinds : sequence of PieceKind
        The file's pieces.
    number : int
        Which of the file's blocks it is, from 0.
    mark : str
        By which the map calls it; "" for the only one.
    finished : (Fraction, Fraction)
        Width and length, inches.

    Raises
    ------
    PatternError
        With the line and the field that is wrong.
    """
    table.only(BLOCK_FIELDS["block"])
    own = [replace(kind, per_block=_own(kind, number), in_blocks=()) for kind in kinds]
    block = replace(block_on_grid(table, units_of_block(table, own), finished), mark=mark)
    _check_squares(table, block, kinds, own, number)
    return block


def _own(kind: PieceKind, number: int) -> int | None:
    """Return how many squares of a kind a block takes; None where they are counted in all."""
    return None if kind.per_block is None else kind.in_block(number)


def units_of_block(table: TomlTable, kinds: Sequence[PieceKind]) -> tuple[BlockUnit, ...]:
    """Read the units of a block, whose fabrics are of these kinds.

    Raises
    ------
    PatternError
        With the line and the field that is wrong.
    """
    units: dict[str, BlockUnit] = {}
    for one in table.tables("unit"):
        one.only(BLOCK_FIELDS["unit"])
        mark = one.text("mark", longest=1)
        if not _CELL.fullmatch(mark):
            one.refuse("mark", f'"{mark}" is no letter', 'write one letter, such as "A"')
        if mark in units:
            free = next(sign for sign in ascii_letters if sign not in units)
            again = f'"{mark}" is there already'
            one.refuse("mark", again, "give another letter", one.put("mark", free))
        name = one.text("unit")
        try:
            name = unit_name(name)
        except CalicountError as error:
            one.refuse("unit", error.problem, error.cure)
        if name not in FACES:
            cure = "use one that blocks can hold; calicount size --help lists them first"
            one.refuse("unit", f"a {name} is no part of a block", cure)
        size = {key: one.whole(key, MAX_CELLS_IN_A_ROW, 1) for key in ("wide", "high")}
        units[mark] = BlockUnit(
            mark,
            name,
            one.whole("at_a_time", 8) if "at_a_time" in one else None,
            _patches(one, name, kinds),
            **size,
            trim=one.length("trim", MIN_WIDTH, MAX_WIDTH) if "trim" in one else None,
        )
        _check_aspect(one, units[mark])
    if not units:
        table.refuse("unit", "it is missing", "add [[block.unit]] for each unit of the block")
    return tuple(units.values())


def _check_aspect(one: TomlTable, unit: BlockUnit) -> None:
    aspect = _method(one, unit).aspect
    if kind_of(unit).reshaped is None and Fraction(unit.high, unit.wide) != aspect:
        shape = "as wide as high" if aspect == 1 else f"{1 / aspect} times as wide as high"
        problem = f"a {unit.unit} is {shape}, not {unit.wide} by {unit.high} cells"
        near = [one.put("wide", aspect.denominator), one.put("high", aspect.numerator)]
        one.refuse("wide" if "wide" in one else "unit", problem, "change wide and high", *near)


def _method(table: TomlTable, unit: BlockUnit) -> Method:
    try:
        return method_of(unit)
    except CalicountError as error:
        table.refuse("at_a_time", error.problem, error.cure, table.put("at_a_time", None))


def _patches(one: TomlTable, name: str, kinds: Sequence[PieceKind]) -> tuple[Patch, ...]:
    unit, told = find_unit(name), one.texts("fabrics", MAX_PARTS)
    texts = unit.for_each_part(told)
    if texts is None:
        problem = f"a {name} has {unit.fabrics_wanted}, not {len(told)}"
        one.refuse("fabrics", problem, "name what each part is cut from")
    return tuple(_patch(one, text, {kind.name: kind for kind in kinds}) for text in texts)


def _patch(one: TomlTable, text: str, kinds: dict[str, PieceKind]) -> Patch:
    name, which = text, 1
    if name not in kinds and (found := re.fullmatch(r"(.+) ([1-9][0-9]{0,2})", text)):
        name, which = found[1], int(found[2])
    if name not in kinds:
        problem = f'"{text}" is none of the pieces: {", ".join(kinds)}'
        one.refuse("fabrics", problem, "write a piece's name, with a number for one of several")
    per_block = kinds[name].per_block
    if per_block is None:
        problem = f'"{name}" is counted in all'
        edits = of_piece(name, "in_all", None), of_piece(name, "per_block", which)
        one.refuse("fabrics", problem, "give that piece per_block", *edits)
    if which > per_block:
        problem = f"a block has {per_block or 'none'} of {name}, so there is no {which}"
        one.refuse("fabrics", problem, "write a smaller number")
    return Patch(name, which)


def block_on_grid(table: TomlTable, units: Sequence[BlockUnit], finished: Sides) -> Block:
    """Read the grid of a block of these units and finished sides.

    Raises
    ------
    PatternError
        With the line and the field that is wrong.
    """
    rows = [line.split() for line in table.texts("grid", MAX_CELLS_IN_A_ROW)]
    across = _across(table, rows, finished)
    marks = {unit.mark: number for number, unit in enumerate(units)}
    free = {(r, c) for r in range(len(rows)) for c in range(across)}
    cells = []
    for r, row in enumerate(rows):
        for c, text in enumerate(row):
            if text == _COVERED:
                continue
            cell = _cell(table, text, (r, c), units, marks)
            covered = {(cell.row + i, cell.column + j) for i in range(cell.high)
                       for j in range(cell.wide)}  # fmt: skip
            dots = all(rows[i][j] == _COVERED for i, j in (covered & free) - {(r, c)}
                       if j < len(rows[i]))  # fmt: skip
            if not covered <= free or not dots:
                problem = f"{text} in row {r + 1} lies over other units or the block's edge"
                table.refuse("grid", problem, f'write "{_COVERED}" where a larger unit covers')
            free -= covered
            cells.append(cell)
    if free:
        r, c = min(free)
        problem = f'"{_COVERED}" in row {r + 1}, cell {c + 1}, is covered by no unit'
        table.refuse("grid", problem, "write a unit's letter there, or make one wide or high")
    block = Block(across, tuple(units), tuple(cells), None if len(rows) == across else len(rows))
    if sewing_order(block) is None:
        table.refuse("grid", "it can't be sewn with straight seams", "build it of smaller units")
    return block


def _across(table: TomlTable, rows: Sequence[Sequence[str]], finished: Sides) -> int:
    """Return how many cells each row has, all of them square."""
    high = len(rows)
    across = high * finished[0] / finished[1]
    size = " x ".join(show_length(side, step=None, mark=False) for side in finished)
    if across.denominator > 1 or not 1 <= across <= MAX_CELLS_IN_A_ROW:
        problem = f"{high} row{'s' if high > 1 else ''} of square cells make no block of {size} in"
        told = {len(row) for row in rows}
        near = told.pop() if len(told) == 1 else round(across)
        near = max(1, min(near, MAX_CELLS_IN_A_ROW))
        long = show_length(finished[0] * high / near, step=None)
        wide = show_length(finished[0], step=None, mark=False)
        cure = f"change the grid; {high} rows of {near} make {wide} x {long}"
        size = wide
        if high != near:
            size += f" x {show_length(finished[0] * high / near, step=None, mark=False)}"
        own = FieldEdit(("layout", "finished_block"), size)
        table.refuse("grid", problem, cure, own)
    for r, row in enumerate(rows):
        if len(row) == across:
            continue
        problem = f"row {r + 1} has {len(row)} cells and there are {high} rows"
        cure = "write as many cells in each row as there are rows"
        if finished[0] != finished[1]:
            problem += f" in a block of {size} in"
            cure = f"write {across} cells in each row, so that all are square"
        table.refuse("grid", problem, cure)
    return int(across)


def _cell(
    table: TomlTable,
    text: str,
    place: tuple[int, int],
    units: Sequence[BlockUnit],
    marks: dict[str, int],
) -> Cell:
    found = _CELL.fullmatch(text)
    if not found or found[1] not in marks:
        known = ", ".join(marks)
        problem = f'"{text}" is no unit; there are {known}'
        table.refuse("grid", problem, 'write a letter and its turn, as in "A" or "A90"')
    unit, turn = marks[found[1]], int(found[2] or 0)
    wide, high = units[unit].wide, units[unit].high
    if turn % 180:
        wide, high = high, wide
    return Cell(unit, *place, wide, high, turn)


def _as_taken(whole: PieceKind, each: Fraction, number: int) -> tuple[FieldEdit, ...]:
    """Return what lets a piece have as many squares in a block as its units take."""
    each = Fraction(ceil(each)) if whole.source == "yardage" else each
    if each.denominator > 1:
        return ()
    if not whole.in_blocks:
        return (of_piece(whole.name, "per_block", int(each)),) if each else ()
    told = [*whole.in_blocks[:number], int(each), *whole.in_blocks[number + 1 :]]
    return (of_piece(whole.name, "per_block", told),) if any(told) else ()


def _check_squares(
    table: TomlTable,
    block: Block,
    wholes: Sequence[PieceKind],
    kinds: Sequence[PieceKind],
    number: int,
) -> None:
    """Refuse a block that takes other numbers of squares than its pieces say."""
    taken = squares_per_block(block)
    for whole, kind in zip(wholes, kinds, strict=True):
        if kind.per_block is None:
            continue
        own = {patch: number for patch, number in taken.items() if patch.kind == kind.name}
        each = sum(own.values(), Fraction(0))
        # A triangle left of the last square of cloth by the yard is no square less to cut.
        if each != kind.per_block and (kind.source != "yardage" or ceil(each) != kind.per_block):
            problem = f"its units take {decimal(each)} of {kind.name}, not {kind.per_block}"
            cure = "change the grid, at_a_time or per_block"
            table.refuse("grid", problem, cure, *_as_taken(whole, each, number))
        for patch, many in own.items():
            if kind.source == "bundle" and many > 1:
                problem = f"its units take {decimal(many)} squares of {kind.name} {patch.which}"
                table.refuse("grid", problem, "name another of the block's squares for some")
