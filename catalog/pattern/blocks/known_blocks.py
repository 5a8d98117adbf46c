"""Blocks of the public domain under their traditional names, with their sources."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from functools import cache
from importlib.resources import files
from typing import Final, Literal, cast, get_args

from catalog.cutting.quilt import PieceKind
from catalog.errors import PatternError
from catalog.models import Role
from catalog.pattern.blocks.coloured_block import BlockColour, ColouredBlock
from catalog.pattern.pattern_block import block_on_grid, units_of_block
from catalog.pattern.toml_reading import read_toml
from catalog.pattern.toml_table import TomlTable

FILE: Final = "known-blocks.toml"
COLOURS: Final[Mapping[str, Role]] = {
    "feature": "feature",
    "accent": "feature",
    "background": "background",
}
"""That a known block may name, with their roles."""
HowKnown = Literal["read", "told", "memory"]
"""``read`` in the work itself, ``told`` by a page that names it, or from ``memory``."""

_SQUARE: Final = (Fraction(1), Fraction(1))
_LATEST_YEAR: Final = 2100
_LONGEST_TEXT: Final = 100


@dataclass(frozen=True)
class BlockSource:
    """Where a block was printed."""

    author: str
    title: str
    year: int
    where: str
    """Page, number or name in it."""
    known: HowKnown
    by: str
    """What told it, where it was told; else empty."""
    open: str
    """Where it can be read by everyone; empty where we know of no place."""


@dataclass(frozen=True)
class KnownBlock:
    """A block that has a name."""

    name: str
    other_names: tuple[str, ...]
    drawn: ColouredBlock
    sources: tuple[BlockSource, ...]
    """Two or more."""


@cache
def known_blocks() -> tuple[KnownBlock, ...]:
    """Return the known blocks, simple ones first."""
    text = files("catalog.pattern.blocks").joinpath(FILE).read_text(encoding="utf-8")
    top = read_toml(text, FILE)
    works = {work.text("key"): work for work in top.tables("work")}
    return tuple(_known(table, works) for table in top.tables("block"))


def find_block(name: str) -> KnownBlock:
    """Return a known block by one of its names.

    Raises
    ------
    PatternError
        There is none of that name.
    """
    names = {_plain(one): block for block in known_blocks()
             for one in (*block.other_names, block.name)}  # fmt: skip
    wanted = _plain(name)
    if wanted not in names:
        near = get_close_matches(wanted, names, 1)
        cure = f'write "{names[near[0]].name}", or ' if near else ""
        raise PatternError(
            f'there is no block called "{name}"', f"{cure}see calicount pattern blocks"
        )
    return names[wanted]


def _plain(name: str) -> str:
    return "".join(sign for sign in name.casefold() if sign.isalnum())


def _known(table: TomlTable, works: Mapping[str, TomlTable]) -> KnownBlock:
    kinds = [PieceKind(name, role, Fraction(1), 1, 1, "yardage", ())
             for name, role in COLOURS.items()]  # fmt: skip
    block = block_on_grid(table, units_of_block(table, kinds), _SQUARE)
    used = {patch.kind for _, patch in block.patches()}
    colours = tuple(BlockColour(name, role) for name, role in COLOURS.items() if name in used)
    return KnownBlock(
        table.text("name"),
        table.texts("other_names", 10) if "other_names" in table else (),
        ColouredBlock(block, colours),
        tuple(_source(one, works) for one in table.tables("sources")),
    )


def _source(table: TomlTable, works: Mapping[str, TomlTable]) -> BlockSource:
    work = works[table.choice("work", tuple(works))]
    known = cast("HowKnown", table.choice("known", get_args(HowKnown)))
    return BlockSource(
        work.text("author", longest=_LONGEST_TEXT),
        work.text("title", longest=_LONGEST_TEXT),
        work.whole("year", _LATEST_YEAR),
        table.text("where", longest=_LONGEST_TEXT),
        known,
        table.text("by", longest=_LONGEST_TEXT) if known == "told" else "",
        work.text("open", longest=_LONGEST_TEXT) if "open" in work else "",
    )
