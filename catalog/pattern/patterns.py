"""Pattern files: what a quilt asks of the bundle, in a TOML format of our own.

``catalog/pattern/shipped/example.toml`` shows and explains every field.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import partial
from pathlib import Path
from typing import Any, Final

from catalog.cutting.quilt import Quilt
from catalog.models import Need
from catalog.pattern.pattern_file import pattern_text, shipped_files
from catalog.pattern.pattern_map import BlockCounts, counts_of, layout_of
from catalog.pattern.pattern_needs import FIELDS, MAX_SQUARE_SIDE, MIN_SQUARE_SIDE, needs_and_kinds
from catalog.pattern.pattern_quilt import QUILT_FIELDS, quilt_of
from catalog.pattern.resizing import resized
from catalog.pattern.toml_reading import read_toml
from catalog.pattern.toml_table import TomlTable

MAX_BLOCKS: Final = 10_000


@dataclass(frozen=True)
class Pattern:
    """What a quilt asks for."""

    name: str
    """By which it was loaded."""
    title: str
    description: str
    """One line."""
    blocks: int
    rows: int | None
    """Blocks from top to bottom; None where only the number of blocks is given."""
    columns: int | None
    finished_block: Fraction | None
    """Width of a block when it is sewn in, inches."""
    needs: tuple[Need, ...]
    """In the order of the file; a quota stands before the rest of its piece."""
    quilt: Quilt | None = None
    """How it is built; None where the file has no [block]."""
    text: str = field(default="", repr=False)
    """Of the file."""
    identity: str = ""
    """What it is known by whatever it is called and says by now; empty for its name or text."""

    def of_size(self, rows: int, columns: int) -> Pattern:
        """Return the pattern for so many rows and columns (see `catalog.pattern.resizing`).

        Raises
        ------
        PatternError
            It makes no sense so.
        """
        other = read_pattern(self.text, self.name, (rows, columns))
        return replace(other, identity=self.identity)


def shipped_patterns() -> tuple[tuple[str, str, str], ...]:
    """Return name, title and one-line description of the shipped patterns, the example last."""
    patterns = [load_pattern(name) for name in shipped_files()]
    return tuple((pattern.name, pattern.title, pattern.description) for pattern in patterns)


def load_pattern(name_or_path: str | Path) -> Pattern:
    """Read a shipped pattern by its name, or a pattern file.

    Parameters
    ----------
    name_or_path : str or Path
        Such as ``pinwheel`` or ``my/quilt.toml``. A shipped name goes before a file of that name
        (write ``./pinwheel`` for the file).

    Returns
    -------
    Pattern
        Checked in full.

    Raises
    ------
    PatternError
        Neither shipped nor a file, unreadable, no TOML, or a field that is wrong, unknown or
        missing; the message names file, line and field.
    """
    name = str(name_or_path)
    return read_pattern(pattern_text(name), name)


def read_pattern(text: str, name: str, size: tuple[int, int] | None = None) -> Pattern:
    """Read the text of a pattern file.

    Parameters
    ----------
    text : str
    name : str
        What to call it.
    size : (int, int), optional
        Rows and columns to make instead of those that are written.

    Raises
    ------
    PatternError
        As from `load_pattern`.
    """
    change = None if size is None else partial(resized, rows=size[0], columns=size[1])
    return replace(_pattern(read_toml(text, name, change), name), text=text)


def read_values(values: Mapping[str, Any], name: str, text: str) -> Pattern:
    """Read what a pattern file holds.

    Parameters
    ----------
    values : mapping
        As TOML gives it.
    name : str
        What to call it.
    text : str
        The same as a file.

    Raises
    ------
    PatternError
        As from `load_pattern`, without a line.
    """
    return replace(_pattern(TomlTable(name, values, {}), name), text=text)


def _pattern(top: TomlTable, name: str) -> Pattern:
    top.only(FIELDS[""])
    title, description = top.text("title", longest=80), top.text("description", longest=200)
    layout = top.table("layout")
    layout.only(FIELDS["layout"])
    rows = columns = None
    if layout.one_of(("blocks", "rows")) == "rows":
        rows, columns = layout.whole("rows", MAX_BLOCKS), layout.whole("columns", MAX_BLOCKS)
        number = layout_of(layout, rows, columns).blocks
        if number > MAX_BLOCKS:
            layout.refuse("columns", f"{number:,} blocks are too many", f"plan {MAX_BLOCKS:,}")
        blocks = counts_of(top, layout, rows, columns)
    else:
        blocks = BlockCounts((layout.whole("blocks", MAX_BLOCKS),))
        if "columns" in layout:
            cure, gone = "give blocks, or rows and columns", layout.put("columns", None)
            layout.refuse("columns", "it stands beside blocks", cure, gone)
    finished = None
    if "finished_block" in layout:
        finished = layout.sides("finished_block", MIN_SQUARE_SIDE, 4 * MAX_SQUARE_SIDE)
    needs, kinds = needs_and_kinds(top, blocks)
    quilt = None
    if "block" in top:
        if rows is None or columns is None:
            layout.refuse("rows", "it is missing, and there is a [block]", "give rows and columns")
        if finished is None:
            layout.refuse("finished_block", "it is missing, and there is a [block]", "add it")
        quilt = quilt_of(top, layout, rows, columns, finished, kinds)
    else:
        _refuse_without_block(top, layout)
    width, total = finished[0] if finished else None, blocks.total
    return Pattern(name, title, description, total, rows, columns, width, needs, quilt)


def _refuse_without_block(top: TomlTable, layout: TomlTable) -> None:
    for table, fields in (
        (top, ("sashing", "border", "binding", "backing", "sleeve", "label", "cloth")),
        (layout, QUILT_FIELDS["layout"]),
    ):
        for key in fields:
            if key in table:
                gone = table.put(key, None)
                table.refuse(key, "it needs a [block]", "add [block], or leave it out", gone)
