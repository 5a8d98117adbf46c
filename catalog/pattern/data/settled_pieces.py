"""The pieces that drawn blocks take: what each square serves, how many there are, how large."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from string import ascii_uppercase
from typing import Any

from catalog.errors import PatternError
from catalog.lengths import show_length
from catalog.pattern.cloth_names import MAX_FABRIC_NAME
from catalog.pattern.data.block_lengths import block_sides, seam_of_data, with_posts
from catalog.pattern.data.cloth_groups import by_size, cloth_groups, head_of, size_of
from catalog.pattern.data.drawn_tiles import DrawnBlock, drawn_blocks, pieces_of_data
from catalog.pattern.data.field_edits import Data
from catalog.pattern.data.grid_writing import block_table
from catalog.pattern.data.unit_uses import (
    OWN,
    USUAL_SOURCE,
    SquareUse,
    source_of,
    tables_of,
    uses_in,
    ways_of,
)


@dataclass(frozen=True)
class _Settled:
    """A use with its piece and square."""

    use: SquareUse
    piece: str
    which: int


def with_blocks(
    data: Data,
    blocks: Sequence[DrawnBlock],
    cloths: Sequence[Data] = (),
    *,
    keep: bool = True,
) -> dict[str, Any]:
    """Return data with these blocks, and the pieces that they take counted and sized.

    A piece that is wanted in several sizes becomes several pieces of the same cloth. One that no
    block takes any more is left out, unless it is counted in all.

    Parameters
    ----------
    data : mapping
    blocks : sequence of DrawnBlock
    cloths : sequence of mapping
        Tables of pieces that tiles may name beside those of the data, each with its ``role``.
    keep : bool
        Let a piece that is larger than it need be, and is trimmed once sewn, stay as it is.

    Raises
    ------
    PatternError
        No size of a block is told, or a block has more different units than letters.
    """
    sides = block_sides(data)
    if sides is None or min(sides) <= 0:
        raise PatternError("no size of a block is told", 'write one, such as "8"')
    blocks = [block.in_reading_order() for block in blocks]
    tables = {name: dict(piece) for name, piece in _tables(data, cloths).items()}
    seam = seam_of_data(data)
    ways = [ways_of(block, tables) for block in blocks]
    uses = [
        use
        for number, block in enumerate(blocks)
        for use in uses_in(block, number, ways[number], sides[0] / block.across, seam)
    ]
    settled = _numbered(_split(uses, tables, keep=keep), tables)
    changed = _with_pieces(data, settled, tables, len(blocks), keep=keep)
    listed = len(blocks) > 1 or isinstance(data.get("block"), list)
    fabrics = _fabrics(settled, tables)
    told = [
        block_table(
            *(block, _mark(block, number, len(blocks)), ways[number], fabrics[number]),
            *(sides[0] / block.across, seam),
        )
        for number, block in enumerate(blocks)
    ]
    return with_posts({**changed, "block": told if listed else told[0]})


def _mark(block: DrawnBlock, number: int, blocks: int) -> str:
    return block.mark or (ascii_uppercase[number % len(ascii_uppercase)] if blocks > 1 else "")


def _fabrics(
    given: Sequence[_Settled], tables: Mapping[str, Data]
) -> dict[int, dict[int, dict[int, str]]]:
    """Return what each part is cut from, by block, tile and part."""
    found: dict[int, dict[int, dict[int, str]]] = defaultdict(lambda: defaultdict(dict))
    for one in given:
        numbered = source_of(tables[one.piece]) == OWN and one.which > 1
        text = f"{one.piece} {one.which}" if numbered else one.piece
        for tile in one.use.tiles:
            found[one.use.block][tile][one.use.part] = text
    return found


def settled(data: Data, *, keep: bool = True) -> dict[str, Any]:
    """Return data whose pieces have the numbers and sizes that its blocks ask for.

    Parameters as for `with_blocks`.

    Raises
    ------
    PatternError
        As from `with_blocks`, or a block that can't be drawn.
    """
    return with_blocks(data, drawn_blocks(data), keep=keep) if data.get("block") else dict(data)


def _tables(data: Data, cloths: Sequence[Data]) -> dict[str, Data]:
    """Return every piece's table by its name, with its role under a key of its own."""
    known = tables_of(pieces_of_data(data))
    given = {str(one.get("name")): one for one in cloths if one.get("role") in USUAL_SOURCE}
    return {**given, **known}


def _split(
    uses: Sequence[SquareUse], tables: dict[str, dict[str, Any]], *, keep: bool
) -> list[_Settled]:
    """Give each use its piece: where a cloth is wanted in several sizes, a piece for each.

    A piece keeps the size that it has where that is wanted; those that are left take the sizes
    that are left, the largest the largest.
    """
    pieces = {name: (str(table["role"]), table) for name, table in tables.items()}
    heads = head_of(pieces)
    groups = {group.name: group.pieces for group in cloth_groups(pieces)}
    wanted: dict[str, dict[Fraction, SquareUse]] = defaultdict(dict)
    for use in uses:
        if use.paint.piece in heads:
            wanted[heads[use.paint.piece]].setdefault(use.size, use)
    named: dict[tuple[str, Fraction], str] = {}
    for head, sizes in wanted.items():
        left = by_size(groups[head], tables)
        for size in sorted(sizes, reverse=True):
            had = ((name, size_of(tables[name])) for name in left if keep)
            fitting = (name for name, was in had if was and sizes[size].larger(was))
            if name := next(fitting, ""):
                named[head, size] = name
                left.remove(name)
        for size in sorted(sizes, reverse=True):
            if (head, size) not in named:
                named[head, size] = left.pop(0) if left else _another(head, tables)
    told = ((use, (heads.get(use.paint.piece, ""), use.size)) for use in uses)
    return [_Settled(use, named[key], 1) for use, key in told if key in named]


def _another(piece: str, tables: dict[str, dict[str, Any]]) -> str:
    """Add a piece of the same cloth in another size, and return its name."""
    own = tables[piece]
    made = {key: value for key, value in own.items() if key not in {"name", "quota"}}
    if source_of(own) == "yardage":
        own.setdefault("cloth", piece)
        made["cloth"] = own["cloth"]
    for letter in ascii_uppercase:
        name = f"{piece[: MAX_FABRIC_NAME - 2]} {letter}"
        if name not in tables:
            tables[name] = {**made, "name": name}
            return name
    raise PatternError(f'"{piece}" is wanted in too many sizes', "draw it with fewer units")


def _numbered(given: Sequence[_Settled], tables: Mapping[str, Data]) -> list[_Settled]:
    """Say which of its block's squares each use of squares in hand is; the darkest first in sets.

    Where a block has not as many of each tone, its squares are numbered as they come.
    """
    found: list[_Settled] = []
    groups: dict[tuple[int, str], list[_Settled]] = defaultdict(list)
    for one in sorted(given, key=lambda one: (one.use.tiles, one.use.part)):
        groups[one.use.block, one.piece].append(one)
    for (_, piece), own in groups.items():
        if source_of(tables[piece]) != OWN:
            found += own
            continue
        match = tables[piece].get("match", 1)
        match = match if isinstance(match, int) and match > 0 else 1
        tones = [sum(one.use.paint.tone == tone for one in own) for tone in range(1, match + 1)]
        even = len(set(tones)) == 1 and sum(tones) == len(own)
        seen: dict[int, int] = defaultdict(int)
        for place, one in enumerate(own, 1):
            tone = one.use.paint.tone
            found.append(replace(one, which=seen[tone] * match + tone if even else place))
            seen[tone] += 1
    return found


def _with_pieces(
    data: Data,
    settled_: Sequence[_Settled],
    tables: Mapping[str, Data],
    blocks: int,
    *,
    keep: bool,
) -> dict[str, Any]:
    """Return data with the tables of the pieces as they are now."""
    changed = dict(data)
    taken: dict[str, list[Fraction]] = {}
    sizes: dict[str, Fraction] = {}
    for one in settled_:
        each = taken.setdefault(one.piece, [Fraction(0)] * blocks)
        each[one.use.block] += one.use.squares
        if one.piece not in sizes:
            was = size_of(tables[one.piece]) if keep else None
            sizes[one.piece] = was if was and one.use.larger(was) else one.use.size
    for role in USUAL_SOURCE:
        own = [(name, table) for name, table in tables.items() if table["role"] == role]
        made = []
        for name, table in own:
            plain = {key: value for key, value in table.items() if key != "role"}
            if name in taken:
                made.append(_counted({**plain, "name": name}, taken[name], sizes[name]))
            elif "in_all" in table:
                made.append({**plain, "name": name})
        changed.pop(role, None)
        if made:
            changed[role] = made
    return changed


def _counted(table: Data, each: Sequence[Fraction], size: Fraction) -> dict[str, Any]:
    """Return a piece's table with its size and how many each block takes."""
    numbers = [-(-one.numerator // one.denominator) for one in each]
    alike = len({one for one in numbers if one}) == 1
    told = max(numbers) if alike else numbers
    kept = {key: value for key, value in table.items() if key not in {"in_all", "per_block"}}
    return {**kept, "size": show_length(size, step=None, mark=False), "per_block": told}
