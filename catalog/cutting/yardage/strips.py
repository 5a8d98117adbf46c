"""Strips as they are cut: the patterns of a packing, in inches and in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from catalog.cutting.yardage.bolt import shown
from catalog.cutting.yardage.joining import Joined
from catalog.cutting.yardage.knapsack import StripColumn, StripPattern
from catalog.cutting.yardage.strip_program import PatternChoice
from catalog.models import Piece


@dataclass(frozen=True)
class StripCut:
    """Pieces of one kind that lie side by side in a strip."""

    piece: str
    across: Fraction
    """Size of one piece along the strip, inches."""
    along: Fraction
    """Size of one piece across the strip (along the cloth), inches."""
    columns: int
    """Crosscuts of the strip, each `across` wide."""
    stacked: int
    """Pieces above one another in a column."""
    count: int
    """Pieces taken from it, at most columns x stacked."""


@dataclass(frozen=True)
class Strip:
    """Strips that are cut alike."""

    height: Fraction
    """Inches along the cloth."""
    copies: int
    cuts: tuple[StripCut, ...]
    """From one end of the strip; pieces of each copy."""
    left: Fraction
    """Length left at the other end, inches."""
    words: str


@dataclass(frozen=True)
class PieceSizes:
    """The pieces in whole units and back again."""

    pieces: Sequence[Piece]
    true: dict[tuple[int, int, int], tuple[Fraction, Fraction]]
    """(kind, across, along) in units: across and along in inches."""
    unit: Fraction
    """Unit of heights, inches."""
    coarse: bool


def strips_of(packing: PatternChoice, sizes: PieceSizes, width: Fraction) -> list[Strip]:
    """Return the strips of a packing, those that are cut alike together."""
    to_cut = [piece.count for piece in sizes.pieces]
    copies: dict[tuple[Fraction, tuple[StripCut, ...]], int] = {}
    for pattern, number in sorted(packing.patterns, key=_tallest_first):
        for _ in range(number):
            cuts = _cuts(pattern, sizes, to_cut)
            if cuts:
                alike = max(cut.along * min(cut.stacked, cut.count) for cut in cuts), cuts
                copies[alike] = copies.get(alike, 0) + 1
    return [
        Strip(
            height,
            number,
            cuts,
            width - sum(cut.across * cut.columns for cut in cuts),
            _strip_words(height, number, cuts, width),
        )
        for (height, cuts), number in copies.items()
    ]


def _tallest_first(
    choice: tuple[StripPattern, int],
) -> tuple[int, int, tuple[tuple[int, ...], ...]]:
    pattern, number = choice
    columns = tuple((c.kind, c.across, c.along, n) for c, n in pattern.columns)
    return -pattern.height, -number, columns


def _cuts(pattern: StripPattern, sizes: PieceSizes, to_cut: list[int]) -> tuple[StripCut, ...]:
    """Take from a strip the pieces that are still wanted."""
    cuts = []
    for column, number in sorted(pattern.columns, key=_tallest_column_first):
        count = min(to_cut[column.kind], number * column.stacked)
        if count:
            to_cut[column.kind] -= count
            across, along = sizes.true[(column.kind, column.across, column.along)]
            used = -(-count // column.stacked)
            name = sizes.pieces[column.kind].name
            cuts.append(StripCut(name, across, along, used, min(column.stacked, count), count))
    return tuple(cuts)


def _tallest_column_first(choice: tuple[StripColumn, int]) -> tuple[int, int, int]:
    column, _ = choice
    return -column.along, -column.across, column.kind


def whole_strips(joined: Joined, width: Fraction) -> Strip:
    """Return the strips that are joined end to end as they are."""
    number = joined.strips - 1
    words = f"{_count(number)} of {shown(joined.height)} across {shown(width)}: whole, to be joined"
    cut = StripCut(joined.part.name, width, joined.height, 1, 1, 1)
    return Strip(joined.height, number, (cut,), Fraction(0), words)


def _strip_words(height: Fraction, copies: int, cuts: Sequence[StripCut], width: Fraction) -> str:
    each = "from each " if copies > 1 else ""
    said = []
    for cut in cuts:
        size = f"{shown(cut.across, mark=False)} x {shown(cut.along)}"
        above = f", {cut.stacked} above one another" if cut.stacked > 1 else ""
        said.append(f"{cut.count} {cut.piece} {size}{above}")
    start = f"{_count(copies)} of {shown(height)} across {shown(width)}"
    return f"{start}: {each}{'; '.join(said)}"


def _count(number: int) -> str:
    return "1 strip" if number == 1 else f"{number} strips"
