"""Pattern files: what a quilt asks of the bundle, in a TOML format of our own.

``catalog/pattern/shipped/example.toml`` shows and explains every field.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import partial
from pathlib import Path
from typing import Final, cast, get_args

from catalog.cutting.quilt import PieceKind, Quilt
from catalog.models import Need, Role, Source, Value
from catalog.pattern.pattern_file import pattern_text, shipped_files
from catalog.pattern.pattern_quilt import QUILT_FIELDS, quilt_of
from catalog.pattern.resizing import resized
from catalog.pattern.toml_table import TomlTable, read_toml

MAX_BLOCKS: Final = 10_000
MAX_IN_A_BLOCK: Final = 1_000
MAX_SQUARES: Final = 1_000_000
LARGEST_SET: Final = 4
MIN_SQUARE_SIDE: Final = Fraction(1, 2)
"""Inches: two seams of 1/4 leave nothing of it to see."""
MAX_SQUARE_SIDE: Final = Fraction(60)
"""Inches: more than the width of a bolt of quilting cotton (42 to 45)."""
_COUNTS = ("per_block", "in_all")
_QUOTA_COUNTS = ("blocks", "sets", "share")
_PIECE = ("name", "piece", "size", *_COUNTS, "family", "value")
FIELDS: Final[dict[str, tuple[str, ...]]] = {
    "": (
        *("title", "description", "layout", "feature", "background", "small"),
        *("block", "sashing", "border", "binding"),
    ),
    "feature": (*_PIECE, "match", "quota"),
    "background": (*_PIECE, "match", "quota", "from", "directional"),
    "small": (*_PIECE, "from"),
    "quota": (*_QUOTA_COUNTS, "family", "value"),
    **QUILT_FIELDS,
    "layout": ("blocks", "rows", "columns", "finished_block", *QUILT_FIELDS["layout"]),
}
"""The fields of each table; "" is the top of the file."""

_SOURCES: Final[dict[Role, tuple[Source, ...]]] = {
    "feature": ("bundle",),
    "background": ("bundle", "yardage"),
    "small": ("left over", "yardage"),
}


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
    """Side of a block when it is sewn in, inches."""
    needs: tuple[Need, ...]
    """In the order of the file; a quota stands before the rest of its piece."""
    quilt: Quilt | None = None
    """How it is built; None where the file has no [block]."""
    text: str = field(default="", repr=False)
    """Of the file."""

    def of_size(self, rows: int, columns: int) -> Pattern:
        """Return the pattern for so many rows and columns (see `catalog.pattern.resizing`).

        Raises
        ------
        PatternError
            It makes no sense so.
        """
        return read_pattern(self.text, self.name, (rows, columns))


def needs_of(pattern: Pattern) -> tuple[Need, ...]:
    """Return what a pattern asks for, one line for each piece and each of its quotas."""
    return pattern.needs


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


def _pattern(top: TomlTable, name: str) -> Pattern:
    top.only(FIELDS[""])
    title, description = top.text("title", longest=80), top.text("description", longest=200)
    layout = top.table("layout")
    layout.only(FIELDS["layout"])
    rows = columns = None
    if layout.one_of(("blocks", "rows")) == "rows":
        rows, columns = layout.whole("rows", MAX_BLOCKS), layout.whole("columns", MAX_BLOCKS)
        blocks = rows * columns
        if "set" in layout and layout.text("set") == "on point":
            blocks += (rows - 1) * (columns - 1)
        if blocks > MAX_BLOCKS:
            layout.refuse("columns", f"{blocks:,} blocks are too many", f"plan {MAX_BLOCKS:,}")
    else:
        blocks = layout.whole("blocks", MAX_BLOCKS)
        if "columns" in layout:
            layout.refuse("columns", "it stands beside blocks", "give blocks, or rows and columns")
    finished = None
    if "finished_block" in layout:
        finished = layout.length("finished_block", MIN_SQUARE_SIDE, 4 * MAX_SQUARE_SIDE)
    needs, kinds = _needs(top, blocks)
    quilt = None
    if "block" in top:
        if rows is None or columns is None:
            layout.refuse("rows", "it is missing, and there is a [block]", "give rows and columns")
        if finished is None:
            layout.refuse("finished_block", "it is missing, and there is a [block]", "add it")
        quilt = quilt_of(top, layout, rows, columns, finished, kinds)
    else:
        _refuse_without_block(top, layout)
    return Pattern(name, title, description, blocks, rows, columns, finished, needs, quilt)


def _refuse_without_block(top: TomlTable, layout: TomlTable) -> None:
    for table, fields in (
        (top, ("sashing", "border", "binding")),
        (layout, QUILT_FIELDS["layout"]),
    ):
        for key in fields:
            if key in table:
                table.refuse(key, "it needs a [block]", "add [block], or leave it out")


def _needs(top: TomlTable, blocks: int) -> tuple[tuple[Need, ...], list[PieceKind]]:
    needs: dict[str, Need] = {}
    kinds: list[PieceKind] = []
    for role in get_args(Role):
        for piece in top.tables(role):
            split = _piece_needs(piece, role, blocks)
            for need in split:
                if need.name in needs:
                    piece.refuse("name", f'"{need.name}" is there already', "give another name")
                needs[need.name] = need
            kinds.append(_kind(piece, role, split))
    if not any(need.role == "feature" for need in needs.values()):
        top.refuse("feature", "it is missing", "add [[feature]] for the squares of the bundle")
    return tuple(needs.values()), kinds


def _kind(piece: TomlTable, role: Role, needs: list[Need]) -> PieceKind:
    one = needs[0]
    return PieceKind(
        piece.text("name", role),
        role,
        one.size,
        piece.whole("per_block", MAX_IN_A_BLOCK) if "per_block" in piece else None,
        one.match,
        one.source,
        tuple(need.name for need in needs),
        piece.flag("directional", False),
        sum(need.count for need in needs),
    )


def _piece_needs(piece: TomlTable, role: Role, blocks: int) -> list[Need]:
    """Return the needs of one piece: its quotas, then the rest."""
    piece.only(FIELDS[role])
    whole = _whole_need(piece, role, blocks)
    sets = rest = whole.count // whole.match
    needs = []
    for quota in piece.tables("quota"):
        quota.only(FIELDS["quota"])
        key = quota.one_of(_QUOTA_COUNTS)
        taken = _quota_sets(quota, key, piece, blocks, whole)
        if taken > rest:
            problem = f"the quotas so far ask for {sets - rest + taken} sets of the {sets}"
            quota.refuse(key, problem, f"leave at most {rest} to this one")
        rest -= taken
        needs.append(_quota_need(quota, replace(whole, count=taken * whole.match)))
    return [*needs, replace(whole, count=rest * whole.match)] if rest else needs


def _whole_need(piece: TomlTable, role: Role, blocks: int) -> Need:
    name = piece.text("name", role)
    match = piece.whole("match", LARGEST_SET, 1)
    if piece.one_of(_COUNTS) == "in_all":
        count = piece.whole("in_all", MAX_SQUARES)
    else:
        count = blocks * piece.whole("per_block", MAX_IN_A_BLOCK)
    if count > MAX_SQUARES:
        piece.refuse("per_block", f"{count:,} in all are too many", f"plan {MAX_SQUARES:,} at most")
    if count % match:
        problem = f"{count} squares make no whole number of sets of {match}"
        piece.refuse("match", problem, f"ask for a multiple of {match} squares")
    return Need(
        name,
        role,
        piece.text("piece", name if role == "small" else "square", longest=80),
        piece.length("size", MIN_SQUARE_SIDE, MAX_SQUARE_SIDE),
        count,
        match,
        piece.text("family") if "family" in piece else None,
        _value(piece),
        _source(piece, role),
    )


def _value(table: TomlTable) -> Value | None:
    return cast("Value", table.choice("value", get_args(Value))) if "value" in table else None


def _source(piece: TomlTable, role: Role) -> Source:
    sources = _SOURCES[role]
    # Whether background is to be bought decides the tally, so it is never guessed.
    default = None if role == "background" else sources[0]
    return cast("Source", piece.choice("from", sources, default))


def _quota_sets(quota: TomlTable, key: str, piece: TomlTable, blocks: int, whole: Need) -> int:
    """Return how many sets of a piece a quota takes."""
    sets = whole.count // whole.match
    if key == "sets":
        return quota.whole("sets", sets)
    if key == "share":
        return _quota_share(quota, sets)
    if "per_block" not in piece:
        quota.refuse(key, "the piece is counted in all, not per block", "give sets or share")
    squares = quota.whole("blocks", blocks) * piece.whole("per_block", MAX_IN_A_BLOCK)
    if squares % whole.match:
        problem = f"{squares} squares make no whole number of sets of {whole.match}"
        quota.refuse(key, problem, "give sets instead")
    return squares // whole.match


def _quota_share(quota: TomlTable, sets: int) -> int:
    text = quota.text("share")
    found = re.fullmatch("([0-9]+)/([1-9][0-9]*)", text)
    if not found or not 0 < Fraction(int(found[1]), int(found[2])) <= 1:
        quota.refuse("share", f'"{text}" is no part of the whole', 'write it like "1/2"')
    part = sets * Fraction(int(found[1]), int(found[2]))
    if part.denominator != 1:
        near = f"{math.floor(part)} or {math.ceil(part)}"
        quota.refuse("share", f"{text} of {sets} sets is no whole number", f"write sets = {near}")
    return int(part)


def _quota_need(quota: TomlTable, need: Need) -> Need:
    """Return the need of a quota, called after what it asks for."""
    quota_family = quota.text("family") if "family" in quota else None
    quota_value = _value(quota)
    if not quota_family and not quota_value:
        quota.refuse("family", "it is missing", "give family, value or both")
    for key, clash in (
        ("family", quota_family and need.family),
        ("value", quota_value and need.value),
    ):
        if clash:
            quota.refuse(key, f"the whole piece has a {key} already", "give it in one place")
    name = " ".join(filter(None, (need.name + ",", quota_value, quota_family)))
    return replace(
        need, name=name, family=quota_family or need.family, value=quota_value or need.value
    )
