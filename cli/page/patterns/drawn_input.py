"""What the page sends of a pattern, checked: its data, and a block as it is drawn."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Annotated, Any, Final, Literal

import msgspec
from msgspec import Meta

from catalog.errors import PatternError, UsageError
from catalog.length_text import parse_length
from catalog.pattern.data.block_lengths import block_sides, shown_sides
from catalog.pattern.data.drawn_tiles import DrawnBlock, Paint, Tile, drawn_blocks
from catalog.pattern.data.field_edits import ROLES, Data, FieldEdit, edited
from catalog.pattern.data.pattern_data import data_of, plain
from catalog.pattern.data.settled_pieces import with_blocks
from catalog.pattern.pattern_needs import FIELDS

MAX_LETTERS: Final = 200_000
"""Of a pattern file that the page sends."""
MAX_TILES: Final = 256
"""Units of a block: sixteen rows of sixteen."""
Cells = Annotated[int, Meta(ge=1, le=16)]
Ordinal = Annotated[int, Meta(ge=0, le=15)]


class PaintSent(msgspec.Struct, frozen=True):
    """What a part is painted with."""

    piece: Annotated[str, Meta(max_length=40)]
    tone: Annotated[int, Meta(ge=1, le=4)] = 1


class TileSent(msgspec.Struct, frozen=True):
    """One unit of a drawn block."""

    unit: Annotated[str, Meta(max_length=60)]
    row: Ordinal
    column: Ordinal
    wide: Cells
    high: Cells
    turn: Literal[0, 90, 180, 270] = 0
    paints: list[PaintSent] = []
    at_a_time: Annotated[int, Meta(ge=1, le=8)] | None = None
    trimmed: bool = False


class BlockSent(msgspec.Struct, frozen=True):
    """One drawn block."""

    number: Annotated[int, Meta(ge=0, le=25)]
    across: Cells
    down: Cells
    tiles: Annotated[list[TileSent], Meta(max_length=MAX_TILES)]
    cloths: Annotated[list[dict[str, Any]], Meta(max_length=60)] = []


def data_sent(body: Mapping[str, Any]) -> dict[str, Any]:
    """Return a pattern's data as the page sends them, or as the text of a file holds them.

    Raises
    ------
    PatternError
        They are none.
    """
    data, text = body.get("data"), body.get("text")
    if isinstance(data, dict):
        return plain(data)
    if isinstance(text, str) and len(text) <= MAX_LETTERS:
        return data_of(text, "the file")
    raise PatternError("that is no pattern", "open a pattern file, or begin a new one")


def length_sent(body: Mapping[str, Any], name: str) -> Fraction | None:
    """Return a length that the page sends, inches; None where it sends none.

    Raises
    ------
    UsageError, LengthError
        It is none.
    """
    value = body.get(name)
    if value is None or value == "":
        return None
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise UsageError(f"that {name} is no length", "write it like 4 7/8")
    return parse_length(value)


def with_drawn(data: Data, sent: object) -> dict[str, Any]:
    """Return data with a block as the page draws it.

    A new block is added where its number is one more than there are. Where the grid's proportion
    changes, the finished block gets another length.

    Raises
    ------
    UsageError
        It isn't drawn as blocks can be.
    PatternError
        No size of a block is told.
    """
    try:
        block = msgspec.convert(sent, BlockSent)
    except msgspec.ValidationError:
        raise UsageError("that is no drawn block", "load the page again") from None
    blocks = drawn_blocks(data)
    if block.number > len(blocks):
        raise UsageError("that is no block of the pattern", "load the page again")
    tiles = tuple(_tile(one) for one in block.tiles)
    before = blocks[block.number] if block.number < len(blocks) else DrawnBlock(1, 1)
    drawn = replace(before, across=block.across, down=block.down, tiles=tiles)
    blocks[block.number : block.number + 1] = [drawn]
    cloths = [_cloth(one) for one in block.cloths]
    return with_blocks(_in_proportion(data, drawn, before, len(blocks)), blocks, cloths)


def _cloth(sent: Mapping[str, Any]) -> dict[str, Any]:
    """Return the table of a cloth to paint with, and its role; nothing else that the page knows."""
    role = sent.get("role")
    own = FIELDS[role] if role in ROLES else ()
    return {"role": role, **plain({key: one for key, one in sent.items() if key in own})}


def _tile(sent: TileSent) -> Tile:
    tile = Tile(
        *(sent.unit, sent.row, sent.column, sent.wide, sent.high, sent.turn),
        tuple(Paint(one.piece, one.tone) for one in sent.paints),
        sent.at_a_time,
        sent.trimmed,
    )
    if len(tile.kind.parts) != len(tile.paints):
        raise UsageError(f"a {tile.unit} isn't drawn so", "load the page again")
    return tile


def _in_proportion(data: Data, drawn: DrawnBlock, before: DrawnBlock, blocks: int) -> Data:
    """Return data whose block is as long as its rows of square cells make it."""
    sides = block_sides(data)
    changed = drawn.across * before.down != drawn.down * before.across
    if sides is None or blocks > 1 or not changed:
        return data
    size = shown_sides(sides[0], sides[0] * drawn.down / drawn.across)
    return edited(data, [FieldEdit(("layout", "finished_block"), size)])
