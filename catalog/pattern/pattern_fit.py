"""Whether the pieces of a pattern fit its block, and can be sewn as many at a time as it says."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction
from itertools import islice
from typing import Final

from catalog.cutting.quilt import Block, BlockUnit, Patch, PieceKind, Quilt
from catalog.cutting.quilt_units import kind_of, method_of, uses_of
from catalog.cutting.units.cutting_method import HAIR, Method, UnitPiece
from catalog.cutting.units.surd import Surd
from catalog.lengths import SIXTEENTH, show_length
from catalog.pattern.data.field_edits import of_piece
from catalog.pattern.pattern_block import MAX_WIDTH
from catalog.pattern.toml_table import TomlTable

HALF_TURN: Final = 180
"""Degrees."""


def check_fit(layout: TomlTable, tables: Sequence[TomlTable], top: TomlTable, quilt: Quilt) -> None:
    """Refuse pieces that the block's size, the sashing or the way of sewing leaves no place for.

    Parameters
    ----------
    layout, top : TomlTable
        [layout] and the whole file, for messages.
    tables : sequence of TomlTable
        The [block], or each [[block]].
    quilt : Quilt

    Raises
    ------
    PatternError
        With the piece's name.
    """
    for kind in quilt.kinds:
        _check_size(layout, quilt, kind)
    _check_posts(top, quilt)
    if quilt.offset and quilt.sashing and quilt.sashing.width >= quilt.finished_block:
        problem = "strips as wide as a block leave no half block at the ends of rows"
        strips, half = top.table("sashing"), show_length(quilt.finished_block / 2, mark=False)
        cure = "make them narrower, or change set"
        strips.refuse("width", problem, cure, strips.put("width", half))
    _check_turns(layout, quilt)
    for table, block in zip(tables, quilt.blocks, strict=True):
        for one, unit in zip(table.tables("unit"), block.units, strict=True):
            _check_one_cloth(one, quilt, unit)
            _check_whole_sets(one, quilt, block, unit)


def _check_turns(layout: TomlTable, quilt: Quilt) -> None:
    """Refuse blocks that are no squares where they would have to be."""
    if quilt.finished_block == quilt.finished_length:
        return
    cure = "make the block square, or leave it out"
    if quilt.on_point:
        near = layout.put("set", "straight"), layout.put("edge_cloth", None)
        layout.refuse("set", "blocks on point are square", "set them straight", *near)
    for key, turn in (("turn_rows", quilt.turn_rows), ("turn_columns", quilt.turn_columns)):
        if turn % HALF_TURN:
            problem = f"a block that is no square has no place turned by {turn}"
            layout.refuse(key, problem, cure, layout.put(key, None))
    if any(place.turn % HALF_TURN for line in quilt.map.lines for place in line):
        layout.refuse("map", "a block that is no square has no place turned by a quarter", cure)


def _check_size(layout: TomlTable, quilt: Quilt, kind: PieceKind) -> None:
    """Refuse a piece that no unit takes as it is cut, or that is too small for one."""
    uses = [
        (method, piece, piece.width.at(finished, quilt.seam))
        for method, piece, finished in uses_of(quilt, kind, quilt.finished_block)
    ]
    fitting = any(
        piece.fits(kind.size, exact, trimmed=method.trimmed or piece.height is not None)
        for method, piece, exact in uses
    )
    small = any(piece.rounding == "up" and kind.size < exact for _, piece, exact in uses)
    if uses and (small or not fitting):
        needed = max(exact for _, _, exact in uses).up_to(SIXTEENTH)
        layout.refuse(
            "finished_block",
            f"blocks of {_size(quilt)} need {kind.name} cut "
            f"{show_length(needed, step=None)}, and its size says "
            f"{show_length(kind.size, step=None)}",
            f"change the size of {kind.name}, or finished_block",
            of_piece(kind.name, "size", show_length(_fitting(uses), step=None, mark=False)),
        )


def _fitting(uses: Sequence[tuple[Method, UnitPiece, Surd]]) -> Fraction:
    """Return the size that does for the largest use of a piece, inches."""
    method, piece, exact = max(uses, key=lambda one: one[2])
    return piece.cut_for(exact, trimmed=method.trimmed or piece.height is not None)


def _size(quilt: Quilt) -> str:
    wide, long = quilt.finished_block, quilt.finished_length
    across = "" if wide == long else f"{show_length(wide, step=None, mark=False)} x "
    return f"{across}{show_length(long, step=None)}"


def _check_posts(top: TomlTable, quilt: Quilt) -> None:
    """Refuse posts that are cut from squares to another size than the sashing's."""
    sashing = quilt.sashing
    if sashing is None or sashing.post_kind is None:
        return
    size, wanted = quilt.kind(sashing.post_kind).size, sashing.width + 2 * quilt.seam
    if abs(size - wanted) > HAIR:
        strips = top.table("sashing")
        strips.refuse(
            "width",
            f"posts of that width are cut {show_length(wanted, step=None)}, and the size of "
            f"{sashing.post_kind} says {show_length(size, step=None)}",
            f"change the size of {sashing.post_kind}, or width",
            of_piece(sashing.post_kind, "size", show_length(wanted, step=None, mark=False))
            if wanted <= MAX_WIDTH
            else strips.put("width", show_length(size - 2 * quilt.seam, step=None, mark=False)),
        )


def _check_one_cloth(table: TomlTable, quilt: Quilt, unit: BlockUnit) -> None:
    """Refuse units of which a part comes from several squares that may be of several cloths.

    Such are flying geese made four at a time, whose wings come from two squares each.
    """
    method = method_of(unit)
    if method.one_cloth is None:
        return
    kind, part = quilt.kind(unit.patches[method.one_cloth].kind), kind_of(unit).parts
    if kind.source != "yardage":
        name = part[method.one_cloth].name
        table.refuse(
            "at_a_time",
            f"of {unit.unit.replace('-', ' ')} made {method.at_a_time} at a time each has its "
            f"{name} from several squares, so {kind.name}, which is not all of one cloth, can't "
            "give both sides of one",
            f"write at_a_time = 1, or cut the {name} from yardage",
            table.put("at_a_time", 1),
        )


def _check_whole_sets(table: TomlTable, quilt: Quilt, block: Block, unit: BlockUnit) -> None:
    """Refuse squares of a block that are sewn face to face for fewer units than come of them."""
    method = method_of(unit)
    if not any(quilt.kind(patch.kind).source == "bundle" for patch in unit.patches):
        return
    alike = Counter[tuple[str, int | None, tuple[Patch, ...]]]()
    for cell in block.cells:
        other = block.units[cell.unit]
        alike[other.unit, other.at_a_time, other.patches] += 1
    number = alike[unit.unit, unit.at_a_time, unit.patches]
    if number % method.units:
        ways = (way.at_a_time for way in kind_of(unit).ways if not number % way.units)
        table.refuse(
            "fabrics",
            f"{method.units} at a time are all of the same squares, and the block has {number} of "
            "these",
            "give more of the units these fabrics, or make them another number at a time",
            *(table.put("at_a_time", way) for way in islice(ways, 1)),
        )
