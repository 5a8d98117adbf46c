"""The units that explain a lattice's seams best: a block cut from edge to edge again and again.

What each short seam shows is a log-odds for being one. A block is the cut into parts, and parts
into units, whose seams together have the greatest sum, less what rare units cost. Only blocks that
straight seams can sew are looked at, so that every proposal is one (`block_seams.sewing_order`).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from catalog.pattern.drawing.unit_seams import Line, UnitShape, shapes_in

if TYPE_CHECKING:
    from catalog.pattern.drawing.seam_lattice import Seams

UNIT_COST: Final = 1.0
"""Logarithm of the odds against one unit more, so that what can't be seen is drawn of few (choice
of ours)."""
Part = tuple[int, int, int, int]
"""Top, left, bottom, right, in cells."""


@dataclass(frozen=True)
class ParsedUnit:
    """One unit of a parsed block."""

    row: int
    column: int
    wide: int
    high: int
    shape: UnitShape | None
    """None for a plain square or rectangle."""

    def lines(self) -> tuple[Line, ...]:
        """Return its seams on the block's lattice."""
        if self.shape is None:
            return ()
        return tuple((way, self.row + r, self.column + c, half)
                     for way, r, c, half in self.shape.lines)  # fmt: skip

    def triangles(self, columns: int) -> tuple[tuple[tuple[int, ...], ...], ...]:
        """Return for each part, for each piece that shows of it, its triangles on the lattice."""
        if self.shape is None:
            cells = [self._cell(number, columns) for number in range(self.wide * self.high)]
            return ((tuple(4 * cell + k for cell in cells for k in range(4)),),)
        return tuple(
            tuple(tuple(4 * self._cell(n // 4, columns) + n % 4 for n in piece) for piece in part)
            for part in self.shape.parts
        )

    def _cell(self, number: int, columns: int) -> int:
        row, column = divmod(number, self.wide)
        return (self.row + row) * columns + self.column + column


UnlikeCost = Callable[[ParsedUnit], float]
"""What it costs that pieces of one part of a unit don't look alike."""


def parsed_block(odds: Seams, rows: int, columns: int, unlike: UnlikeCost) -> list[ParsedUnit]:
    """Return the units of the likeliest block, in reading order.

    Parameters
    ----------
    odds : Seams
        Log-odds of each short seam.
    rows, columns : int
    unlike : callable
        What a unit costs whose parts are each of one cloth and don't look so.
    """
    parser = _Parser(odds, unlike)
    units: list[ParsedUnit] = []
    waiting: list[Part] = [(0, 0, rows, columns)]
    while waiting:
        part = waiting.pop()
        _, cut, shape = parser.best(part)
        if cut is None:
            top, left, bottom, right = part
            units.append(ParsedUnit(top, left, right - left, bottom - top, shape))
        else:
            waiting.extend(_halves(part, cut))
    return sorted(units, key=lambda one: (one.row, one.column))


def _halves(part: Part, cut: tuple[str, int]) -> tuple[Part, Part]:
    top, left, bottom, right = part
    way, at = cut
    if way == "level":
        return (top, left, at, right), (at, left, bottom, right)
    return (top, left, bottom, at), (top, at, bottom, right)


class _Parser:
    """The best way to cut each part of a lattice, found once."""

    def __init__(self, odds: Seams, unlike: UnlikeCost) -> None:
        import numpy as np

        self.odds, self.unlike = odds, unlike
        # Sums along lines, so that a cut's is a difference of two.
        self.level = np.pad(np.cumsum(odds.level, axis=1), ((0, 0), (1, 0))).tolist()
        self.upright = np.pad(np.cumsum(odds.upright, axis=0), ((1, 0), (0, 0))).tolist()
        self.found: dict[Part, tuple[float, tuple[str, int] | None, UnitShape | None]] = {}

    def best(self, part: Part) -> tuple[float, tuple[str, int] | None, UnitShape | None]:
        """Return a part's sum, where it is cut, and its unit.

        None for the cut of one unit, and for the unit of a plain or a cut part.
        """
        if part in self.found:
            return self.found[part]
        top, left, bottom, right = part
        value, shape = self._as_unit(part)
        cut: tuple[str, int] | None = None
        for at in range(top + 1, bottom):
            line = self.level[at - 1]
            sum_ = line[right] - line[left]
            sum_ += self.best((top, left, at, right))[0] + self.best((at, left, bottom, right))[0]
            if sum_ > value:
                value, cut = sum_, ("level", at)
        for at in range(left + 1, right):
            sum_ = self.upright[bottom][at - 1] - self.upright[top][at - 1]
            sum_ += self.best((top, left, bottom, at))[0] + self.best((top, at, bottom, right))[0]
            if sum_ > value:
                value, cut = sum_, ("upright", at)
        self.found[part] = value, cut, None if cut else shape
        return self.found[part]

    def _as_unit(self, part: Part) -> tuple[float, UnitShape | None]:
        top, left, bottom, right = part
        wide, high = right - left, bottom - top
        value: float = -UNIT_COST
        kept: UnitShape | None = None
        if max(wide, high) > 2 * min(wide, high):
            return value, kept
        for shape in shapes_in(wide, high):
            sum_ = -UNIT_COST - shape.rarity
            sum_ += sum(self._odds(line, top, left) for line in shape.lines)
            if sum_ > value:
                sum_ -= self.unlike(ParsedUnit(top, left, wide, high, shape))
            if sum_ > value:
                value, kept = sum_, shape
        return value, kept

    def _odds(self, line: Line, top: int, left: int) -> float:
        way, r, c, half = line
        if way == "level":
            return float(self.odds.level[top + r, left + c])
        if way == "upright":
            return float(self.odds.upright[top + r, left + c])
        return float(self.odds.slanted[top + r, left + c, half])
