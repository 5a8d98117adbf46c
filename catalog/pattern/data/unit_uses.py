"""What drawn units are cut from: how each is made, and the squares that it takes."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import partial
from typing import Final

from catalog.cutting.units.cutting_method import Method
from catalog.cutting.units.units_by_name import way_of
from catalog.errors import CalicountError
from catalog.pattern.data.drawn_tiles import DrawnBlock, Paint, Tile
from catalog.pattern.data.field_edits import Data

OWN: Final = "bundle"
USUAL_SOURCE: Final = {"feature": OWN, "background": "yardage", "small": "left over"}
"""Where pieces come from that don't say it, by their role."""


@dataclass(frozen=True)
class SquareUse:
    """Squares of one piece and size that tiles sewn together take."""

    paint: Paint
    size: Fraction
    """To which it is cut, inches."""
    squares: Fraction
    block: int
    tiles: tuple[int, ...]
    """Numbers of the tiles in the block."""
    part: int
    larger: Callable[[Fraction], bool] = field(repr=False, compare=False)
    """Whether another size does too."""


def source_of(table: Data) -> str:
    """Return where a piece comes from, by its table and its role."""
    return str(table.get("from", USUAL_SOURCE[str(table["role"])]))


def _way(tiles: Sequence[Tile], tables: Mapping[str, Data]) -> Method:
    """Return how units alike are made: as is told, or the first way in which they come out."""
    one, kind = tiles[0], tiles[0].kind
    if one.at_a_time is not None:
        try:
            return way_of(kind, one.at_a_time)
        except CalicountError:
            pass
    for way in kind.ways:
        cloth = None if way.one_cloth is None else one.paints[way.one_cloth].piece
        bought = cloth is None or (cloth in tables and source_of(tables[cloth]) == "yardage")
        if bought and not len(tiles) % way.units:
            return way
    return min(kind.ways, key=lambda way: (way.one_cloth is not None, way.units))


def alike_tiles(block: DrawnBlock) -> dict[tuple[object, ...], list[int]]:
    """Return the numbers of the tiles that are the same unit of the same cloth."""
    groups: dict[tuple[object, ...], list[int]] = defaultdict(list)
    for number, tile in enumerate(block.tiles):
        key = (tile.unit, *tile.shape, tile.paints, tile.at_a_time, tile.trimmed)
        groups[key].append(number)
    return groups


def tables_of(pieces: Mapping[str, tuple[str, Data]]) -> dict[str, Data]:
    """Return every piece's table by its name, with its role under a key of its own."""
    return {name: {**piece, "role": role} for name, (role, piece) in pieces.items()}


def ways_of(block: DrawnBlock, tables: Mapping[str, Data]) -> dict[int, Method]:
    """Return for each tile how it is made."""
    found: dict[int, Method] = {}
    for numbers in alike_tiles(block).values():
        way = _way([block.tiles[number] for number in numbers], tables)
        found |= dict.fromkeys(numbers, way)
    return found


def uses_in(
    block: DrawnBlock, number: int, ways: Mapping[int, Method], cell: Fraction, seam: Fraction
) -> Iterator[SquareUse]:
    """Yield what the tiles of a block are cut from.

    Parameters
    ----------
    block : DrawnBlock
    number : int
        Which of the quilt's blocks it is, from 0.
    ways : mapping
        For each tile how it is made.
    cell, seam : Fraction
        Finished side of a cell and the seam, inches.
    """
    for numbers in alike_tiles(block).values():
        tile, way = block.tiles[numbers[0]], ways[numbers[0]]
        finished = cell * max(tile.wide, tile.high)
        for start in range(0, len(numbers), way.units):
            own = tuple(numbers[start : start + way.units])
            counts = tile.kind.piece_counts(way)
            for part, (paint, count) in enumerate(zip(tile.paints, counts, strict=True)):
                piece = way.pieces[tile.kind.parts[part].piece]
                exact = piece.width.at(finished, seam)
                trimmed = way.trimmed or piece.height is not None
                size = piece.cut_for(exact, trimmed=trimmed)
                fits = partial(piece.fits, exact=exact, trimmed=trimmed)
                yield SquareUse(paint, size, count * len(own), number, own, part, fits)
