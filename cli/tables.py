"""Tables at the terminal: few rows by rich, many in a tenth of its time and to the same letter."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final, Literal

from rich import box
from rich.cells import cell_len, set_cell_size
from rich.table import Table
from rich.text import Text

if TYPE_CHECKING:
    from rich.console import Console, RenderableType

Row = Sequence[str]
LONG: Final = 40
"""Rows from which a table is long (choice of ours): rich takes a millisecond for each."""
MAX_UNBROKEN: Final = 14
"""Letters of a word in a table that is never broken; a longer one may be."""
_MEASURED: Final = box.Box("    \n    \n ─┼ \n" + "    \n" * 5)
"""As `rich.box.SIMPLE_HEAD`, its rule crossed where a column ends."""


@dataclass(frozen=True, eq=False)
class Heading:
    """What stands over a table's rows."""

    title: Text | None
    columns: tuple[Text, ...]
    words: int
    """Columns that hold words; the others, after them, hold numbers."""

    def side(self, place: int) -> Literal["left", "right"]:
        """Return at which side of its column text stands."""
        return "right" if place >= self.words else "left"


def drawn_table(
    heading: Heading, rows: Sequence[Sequence[Text]], drawn_as: box.Box = box.SIMPLE_HEAD
) -> Table:
    """Return a table as rich draws it."""
    drawn = Table(
        title=heading.title,
        title_justify="left",
        box=drawn_as,
        show_edge=False,
        pad_edge=False,
        padding=(0, 1, 0, 0),
    )
    for place, name in enumerate(heading.columns):
        number = place >= heading.words
        drawn.add_column(name, justify=heading.side(place), no_wrap=number, overflow="fold")
    for row in rows:
        drawn.add_row(*row)
    for column in drawn.columns:
        column.min_width = _longest_word(column.cells)
    return drawn


def long_table(console: Console, heading: Heading, rows: Sequence[Row]) -> list[str]:
    """Return the lines of a table of plain text as rich would draw it.

    Rich draws the head with those rows that make each column as wide as it is; the rows are then
    set between the same columns.
    """
    widest = [[Text(cell) for cell in rows[place]] for place in _widest(rows)]
    *head, rule = _head(console, drawn_table(heading, widest))
    untitled = replace(heading, title=None)
    *_, crossed = _head(console, drawn_table(untitled, widest, _MEASURED), crop=False)
    *widths, last = (len(part) for part in crossed.split("┼"))
    texts = [*(width - 1 for width in widths), last]
    body = (line for row in rows for line in _row(console, heading, row, texts))
    wide = console.width  # asks the terminal each time
    if sum(widths) + last + len(widths) <= wide:
        return [*head, rule, *body]
    return [*head, rule, *(set_cell_size(line, wide) for line in body)]


def _head(console: Console, drawn: Table, *, crop: bool = True) -> list[str]:
    """Return the lines of a table down to the rule under its head."""
    with console.capture() as caught:
        console.print(drawn, crop=crop)
    lines = caught.get().split("\n")
    rule = next(place for place, line in enumerate(lines) if line and not line.strip("─┼"))
    return lines[: rule + 1]


def _widest(rows: Sequence[Row]) -> list[int]:
    """Return the rows that hold the longest text or the longest word of some column."""
    found = set[int]()
    for column in zip(*rows, strict=True):
        found.add(max(range(len(column)), key=lambda place: cell_len(column[place])))
        words = [max(map(cell_len, cell.split()), default=0) for cell in column]
        found.add(max(range(len(words)), key=words.__getitem__))
    return sorted(found)


def _row(console: Console, heading: Heading, row: Row, widths: Sequence[int]) -> list[str]:
    """Return the lines of a row, each cell in its column."""
    cells = []
    for place, (cell, width) in enumerate(zip(row, widths, strict=True)):
        if cell.isascii() and len(cell) <= width:
            right = place >= heading.words
            cells.append([cell.rjust(width) if right else cell.ljust(width)])
        else:
            text = Text(cell)
            lines = text.wrap(
                console, width, justify=heading.side(place), overflow="fold",
                no_wrap=place >= heading.words,
            )  # fmt: skip
            cells.append([line.plain for line in lines])
    high = max(map(len, cells))
    blank = [" " * width for width in widths]
    return [
        "  ".join(
            cell[n] if n < len(cell) else none for cell, none in zip(cells, blank, strict=True)
        )
        for n in range(high)
    ]


def _longest_word(cells: Iterable[RenderableType]) -> int:
    """Return the letters of the longest word that a column shouldn't break."""
    words = (word for cell in cells for word in str(cell).split())
    return min(max(map(len, words), default=0), MAX_UNBROKEN)
