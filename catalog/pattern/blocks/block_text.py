"""A block with its pieces written as a pattern file, which the file's own reader checks."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from fractions import Fraction

from catalog.lengths import show_length
from catalog.pattern.blocks.block_pieces import BlockPiece, PiecedBlock
from catalog.pattern.blocks.coloured_block import grid_lines


def block_text(
    pieced: PiecedBlock,
    title: str,
    description: str,
    notes: Sequence[str] = (),
    rows: int = 4,
    columns: int = 3,
) -> str:
    """Return a pattern file of so many blocks.

    Parameters
    ----------
    pieced : PiecedBlock
    title, description : str
        One line each.
    notes : sequence of str
        Remarks above it, one line each.
    rows, columns : int
        Blocks from top to bottom and from left to right.
    """
    block = pieced.block
    size = _length(pieced.finished)
    if block.down != block.across:
        size += f" x {_length(pieced.finished * block.down / block.across)}"
    lines = [
        *(f"# {note}" for note in notes),
        f"title = {_text(title)}",
        f"description = {_text(description)}",
        "",
        "[layout]",
        f"rows = {rows}",
        f"columns = {columns}",
        f'finished_block = "{size}"',
        f'seam = "{_length(pieced.seam)}"',
    ]
    roles = sorted(pieced.pieces, key=lambda piece: ("feature", "background").index(piece.role))
    for piece in roles:
        lines += _piece(piece)
    lines += ["", "[block]", "grid = [", *(f"  {_text(row)}," for row in grid_lines(block)), "]"]
    for unit in block.units:
        fabrics = [f"{patch.kind} {patch.which}" for patch in unit.patches]
        lines += ["", "[[block.unit]]", f"mark = {_text(unit.mark)}", f"unit = {_text(unit.unit)}"]
        lines += [f"at_a_time = {unit.at_a_time}"] if unit.at_a_time else []
        lines += [f"fabrics = {json.dumps(fabrics, ensure_ascii=False)}"]
        lines += [f"{key} = {cells}" for key, cells in (("wide", unit.wide), ("high", unit.high))
                  if cells > 1]  # fmt: skip
    return "\n".join(lines) + "\n"


def _piece(piece: BlockPiece) -> Iterator[str]:
    yield ""
    yield f"[[{piece.role}]]"
    yield f"name = {_text(piece.name)}"
    yield f"piece = {_text(piece.what)}"
    yield f'size = "{_length(piece.size)}"'
    yield f"per_block = {piece.per_block}"
    if piece.match > 1:
        yield f"match = {piece.match}"
    yield f"from = {_text(piece.source)}"
    if piece.cloth:
        yield f"cloth = {_text(piece.cloth)}"


def _length(inches: Fraction) -> str:
    return show_length(inches, step=None, mark=False)


def _text(value: str) -> str:
    return json.dumps(value, ensure_ascii=False)
