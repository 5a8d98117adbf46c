"""A drawn block as its table in a pattern file: its grid, and each different unit once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from string import ascii_lowercase, ascii_uppercase
from typing import Any

from catalog.cutting.units.cutting_method import Method
from catalog.errors import PatternError
from catalog.lengths import show_length
from catalog.pattern.data.drawn_tiles import DrawnBlock, Tile

_MARKS = ascii_uppercase + ascii_lowercase


def block_table(
    block: DrawnBlock,
    mark: str,
    ways: Mapping[int, Method],
    fabrics: Mapping[int, Mapping[int, str]],
    cell: Fraction,
    seam: Fraction,
) -> dict[str, Any]:
    """Return the table of a block.

    Parameters
    ----------
    block : DrawnBlock
    mark : str
        By which the map calls it; empty for the only one.
    ways : mapping
        For each tile how it is made.
    fabrics : mapping
        For each tile, part by part, what a pattern file says that it is cut from.
    cell, seam : Fraction
        Finished side of a cell and the seam, inches.

    Raises
    ------
    PatternError
        It has more different units than there are letters.
    """
    units: dict[tuple[object, ...], dict[str, Any]] = {}
    grid = [["."] * block.across for _ in range(block.down)]
    for place, tile in enumerate(block.tiles):
        texts = tuple(fabrics.get(place, {}).get(part, "") for part in range(len(tile.paints)))
        key = (tile.unit, *tile.shape, ways[place].at_a_time, texts, tile.trimmed)
        if key not in units:
            if len(units) == len(_MARKS):
                problem = f"a block has no more than {len(_MARKS)} different units"
                raise PatternError(problem, "draw it as two blocks, or of fewer cloths")
            units[key] = _unit(tile, _MARKS[len(units)], texts, ways[place])
            if tile.trimmed:
                trim = cell * tile.shape[0] + 2 * seam
                units[key]["trim"] = show_length(trim, step=None, mark=False)
        if tile.row < block.down and tile.column < block.across:
            grid[tile.row][tile.column] = f"{units[key]['mark']}{tile.turn or ''}"
    named = {"mark": mark} if mark else {}
    rows = [" ".join(row) for row in grid]
    return {**named, **block.more, "grid": rows, "unit": list(units.values())}


def _unit(tile: Tile, mark: str, texts: Sequence[str], way: Method) -> dict[str, Any]:
    wide, high = tile.shape
    made: dict[str, Any] = {"mark": mark, "unit": tile.unit, "fabrics": list(texts)}
    if tile.at_a_time is not None or way.at_a_time != tile.kind.ways[0].at_a_time:
        made["at_a_time"] = way.at_a_time
    return made | {key: n for key, n in (("wide", wide), ("high", high)) if n > 1}
