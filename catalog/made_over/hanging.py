"""The pieces of a cloth in the blocks, and how a print with an up and a down hangs in them."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from catalog.made_over.block import MadeBlock, UnitCut
from catalog.models import Piece
from catalog.quilt import BlockUnit, PieceKind, Quilt
from catalog.quilt_sizes import Layout, places
from catalog.quilt_units import method_of, piece_counts

HALVES: Final = "half-square-triangle"
_PLAIN: Final = {"square", "rectangle"}
"""Units of one piece, which is sewn in as it is to hang."""
_RISING, _FALLING = 0, 1
"""Diagonals of a square, seen from the print's side: from the lower left up, from the upper left
down."""


@dataclass(frozen=True)
class _Part:
    """Parts of units that are cut from one kind and hang alike."""

    unit: int
    part: int
    turn: int
    """Degrees clockwise, of the unit in the quilt."""


def pieces_of_cloth(
    quilt: Quilt, made: MadeBlock, layout: Layout, kind: PieceKind
) -> tuple[Piece, ...]:
    """Return the pieces of a kind in the blocks, those of each shape by themselves.

    Of a print with a direction width and length are as they hang: a rectangle in a unit that is
    turned a quarter hangs with its other side up, by its own turn and by its block's. Laid with
    that side along the cloth's length the print stands upright. On point all of it leans an
    eighth, the same way. Squares alone are cut as large as the largest.
    """
    counts: dict[tuple[Fraction, Fraction], Fraction] = {}
    for one, number in _parts(quilt, layout, kind).items():
        unit = made.units[one.unit]
        each = piece_counts(unit.unit, unit.method)[one.part]
        sides = _sides(unit.cuts[one.part], upright=unit.unit.high > unit.unit.wide, turn=one.turn)
        if not kind.directional:
            sides = (max(sides), min(sides))
        counts[sides] = counts.get(sides, Fraction(0)) + number * each
    if all(wide == long for wide, long in counts):
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


def hanging_words(quilt: Quilt, layout: Layout, kind: PieceKind) -> str:
    """Say how to lay a print so that it hangs upright; nothing where no piece can lie wrong."""
    parts = _parts(quilt, layout, kind)
    whole, cut = set(), set()
    for one in parts:
        unit = quilt.block.units[one.unit]
        if not _stays_whole(unit, one.part):
            cut.add(unit.unit)
        elif one.turn and unit.unit not in _PLAIN:
            whole.add(unit.unit)
    words = []
    if quilt.on_point:
        words.append("on point the print leans an eighth of a turn")
    if HALVES in cut:
        words += _halves_words(quilt, parts)
    if whole:
        words.append(f"of {_listed(whole)} lay it as the unit is to hang, for some hang turned")
    if others := cut - {HALVES}:
        words.append(f"triangles of {_listed(others)} show the print turned: sew one and look")
    return "; ".join(words)


def _stays_whole(unit: BlockUnit, part: int) -> bool:
    """Whether a part keeps its edges, so that it can be laid as it is to hang."""
    if unit.unit in _PLAIN | {"four-patch", "nine-patch"}:
        return True
    return part == 0 and any(piece.flipped for piece in method_of(unit).pieces)


def _listed(units: set[str]) -> str:
    return " and ".join(name.replace("-", " ") for name in sorted(units))


def _parts(quilt: Quilt, layout: Layout, kind: PieceKind) -> Counter[_Part]:
    turns = Counter(quilt.turn_at(spot.row, spot.column) for spot in places(layout))
    found: Counter[_Part] = Counter()
    for cell in quilt.block.cells:
        for part, patch in enumerate(quilt.block.units[cell.unit].patches):
            if patch.kind == kind.name:
                for turn, blocks in turns.items():
                    found[_Part(cell.unit, part, (cell.turn + turn) % 360)] += blocks
    return found


def _sides(cut: UnitCut, *, upright: bool, turn: int) -> tuple[Fraction, Fraction]:
    """Return across and up and down of a piece as it hangs, in a unit that is higher or not."""
    return (cut.height, cut.width) if upright != bool(turn % 180) else (cut.width, cut.height)


def _halves_words(quilt: Quilt, parts: Counter[_Part]) -> list[str]:
    """Say on which diagonal squares are sewn, two at a time.

    The first half of a unit lies in its upper left corner, the second in the lower right; each
    quarter turn takes it to the next corner clockwise. An upright square cut on the rising diagonal
    gives the upper left and the lower right, on the falling one the others.
    """
    corners: Counter[int] = Counter()
    ways = set()
    for one, number in parts.items():
        unit = quilt.block.units[one.unit]
        if unit.unit == HALVES:
            ways.add(method_of(unit).at_a_time)
            corners[(one.turn // 90 + 2 * one.part) % 4] += number
    if ways != {2}:
        return ["triangles of half square triangle show the print turned: sew one and look"]
    pairs = {_RISING: (corners[0], corners[2]), _FALLING: (corners[1], corners[3])}
    squares = {way: Fraction(sum(pair), 2) for way, pair in pairs.items()}
    words = []
    if all(squares.values()):
        rising, falling = (_number(squares[way]) for way in (_RISING, _FALLING))
        words.append(
            f"print upright and facing you, {rising} are sewn on the diagonal that rises to the "
            f"right and {falling} on the one that falls"
        )
    elif any(squares.values()):
        way = "rises" if squares[_RISING] else "falls"
        words.append(
            f"print upright and facing you, they are sewn on the diagonal that {way} to the right"
        )
    over = sum(abs(one - other) for one, other in pairs.values()) // 2
    if over:
        all_up = sum(max(pair) for pair in pairs.values())
        words.append(
            f"{over} of the triangles hang upside down; for none, cut {all_up} squares in half and "
            "sew triangle to triangle"
        )
    return words


def _number(number: Fraction) -> str:
    return str(number) if number.denominator == 1 else f"{float(number):g}"
