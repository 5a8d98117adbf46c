"""Units that are sewn several at a time where a block has no whole number of them."""

from __future__ import annotations

from dataclasses import replace

from catalog.errors import CalicountError
from catalog.pattern.data.drawn_tiles import DrawnBlock, Paint, Tile, drawn_blocks, pieces_of_data
from catalog.pattern.data.field_edits import Data, FieldEdit
from catalog.pattern.data.rescaling import changes
from catalog.pattern.data.settled_pieces import with_blocks
from catalog.pattern.data.unit_uses import alike_tiles, tables_of, ways_of
from catalog.phrases import count_of


def left_over_units(data: Data) -> tuple[str, tuple[FieldEdit, ...]]:
    """Say which units don't come out, and return the edits that make those plain.

    Half-square triangles, for one, are made of pairs of squares two at a time: where a block has
    three of a kind, one is left over.

    Returns
    -------
    (str, tuple of FieldEdit)
        A sentence, without its stop, and the edits; empty where all come out.
    """
    try:
        blocks = drawn_blocks(data)
        tables = tables_of(pieces_of_data(data))
        said, plain = "", []
        for block in blocks:
            ways = ways_of(block, tables)
            rest: list[int] = []
            for numbers in alike_tiles(block).values():
                way, many = ways[numbers[0]], len(numbers)
                if many % way.units:
                    rest += numbers[many - many % way.units :]
                    said = said or _words(block.tiles[numbers[0]], many, way.units)
            plain.append(_made_plain(block, rest))
        return said, changes(data, with_blocks(data, plain)) if said else ()
    except CalicountError:
        return "", ()


def _words(tile: Tile, many: int, units: int) -> str:
    name, more = tile.unit.replace("-", " "), units - many % units
    drawn = f"{count_of(many, name)} of one kind" if many > 1 else f"one {name}"
    cure = f"lay {more} more, or {many % units} fewer"
    return f"the block has {drawn}, and they are made {units} at a time; {cure}"


def _made_plain(block: DrawnBlock, rest: list[int]) -> DrawnBlock:
    """Return a block with some of its units cut in one, of what is behind their figure."""
    tiles = tuple(
        _plain(tile) if number in rest else tile for number, tile in enumerate(block.tiles)
    )
    return replace(block, tiles=tiles)


def _plain(tile: Tile) -> Tile:
    paint: Paint = tile.paints[-1]
    name = "square" if tile.wide == tile.high else "rectangle"
    return replace(tile, unit=name, turn=0, paints=(paint,), at_a_time=None, trimmed=False)
