"""The pieces of a cloth in the blocks, and how they hang there."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from catalog.cutting.adapted.adapted_block import AdaptedBlock
from catalog.cutting.adapted.unit_cuts import UnitCut
from catalog.cutting.quilt import BlockUnit, PieceKind, Quilt
from catalog.cutting.quilt_sizes.block_places import places
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.quilt_units import kind_of, piece_counts
from catalog.models import Piece

ALIKE: Final = Fraction(1, 2)
"""Inches by which squares may differ to be cut alike: as much as seams add to one unit and another
of the same finished size (2 seams or 2 + 2 root 2 of them; choice of ours)."""


@dataclass(frozen=True)
class HungPart:
    """Parts of units that are cut from one kind and hang alike."""

    block: int
    """Which of the quilt's blocks, from 0."""
    unit: int
    """Which of its units, from 0."""
    part: int
    turn: int
    """Degrees clockwise, of the unit in the quilt."""


def pieces_of_cloth(
    quilt: Quilt, block: AdaptedBlock, layout: Layout, kind: PieceKind
) -> tuple[Piece, ...]:
    """Return the pieces of a kind in the blocks, those of each shape by themselves.

    Of a print with a direction width and length are as they hang: a rectangle in a unit that is
    turned a quarter hangs with its other side up, by its own turn and by its block's. Laid with
    that side along the cloth's length the print stands upright. On point all of it leans an
    eighth, the same way. Squares that differ but little are cut as large as the largest.
    """
    counts: dict[tuple[Fraction, Fraction], Fraction] = {}
    for one, number in hung_parts(quilt, layout, kind).items():
        unit = block.by_block[one.block][one.unit]
        each = piece_counts(unit.unit, unit.method)[one.part]
        sides = _sides(unit.cuts[one.part], upright=_stands(unit.unit, one.part), turn=one.turn)
        if not kind.directional:
            sides = (max(sides), min(sides))
        counts[sides] = counts.get(sides, Fraction(0)) + number * each
    if all(wide == long and max(counts)[0] - wide <= ALIKE for wide, long in counts):
        counts = {max(counts): sum(counts.values(), Fraction(0))}
    called: Counter[str] = Counter()
    pieces = []
    for (wide, long), count in sorted(counts.items(), reverse=True):
        name = kind.name
        if len(counts) > 1:
            way = _way(wide, long, directional=kind.directional)
            called[way] += 1
            name = f"{kind.name}, {way}{f' {called[way]}' if called[way] > 1 else ''}"
        pieces.append(Piece(name, wide, long, math.ceil(count)))
    return tuple(pieces)


def _way(wide: Fraction, long: Fraction, *, directional: bool) -> str:
    if wide == long:
        return "square"
    if not directional:
        return "rectangle"
    return "lying" if wide > long else "standing"


def hung_parts(quilt: Quilt, layout: Layout, kind: PieceKind) -> Counter[HungPart]:
    """Return how many parts of each unit are cut from a kind, by the turn in which they hang."""
    hung = Counter((quilt.block_at(spot), quilt.turn_at(spot)) for spot in places(layout))
    found: Counter[HungPart] = Counter()
    for (block, turn), number in hung.items():
        for cell, part, patch in quilt.blocks[block].parts():
            if patch.kind == kind.name:
                found[HungPart(block, cell.unit, part, (cell.turn + turn) % 360)] += number
    return found


def _stands(unit: BlockUnit, part: int) -> bool:
    """Say whether a part is higher than wide, in the unit before it is turned."""
    corners = kind_of(unit).parts[part].polygons[0]
    wide, high = ({corner[axis] for corner in corners} for axis in (0, 1))
    return (max(high) - min(high)) * unit.high > (max(wide) - min(wide)) * unit.wide


def _sides(cut: UnitCut, *, upright: bool, turn: int) -> tuple[Fraction, Fraction]:
    """Return across and up and down of a piece as it hangs, one that stands in its unit or not."""
    return (cut.height, cut.width) if upright != bool(turn % 180) else (cut.width, cut.height)
