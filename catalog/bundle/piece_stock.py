"""What the squares of a bundle still have to give while needs are served, piece by piece."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from catalog.bundle.pieces import Grid, allowance_of, fitting, grid_of, sides_of
from catalog.models import Need, Rest, Swatch

NO_GRID: Grid = (0, 0)


@dataclass
class _CutSquare:
    """A square cut into equal pieces."""

    grid: Grid
    size: Fraction
    """Side of its pieces, inches; the largest asked for."""
    used: int = 0


class PieceStock:
    """The squares of a bundle, each cut to pieces of one size at most."""

    def __init__(self, swatches: Sequence[Swatch]) -> None:
        self.bundle = {swatch.label: swatch for swatch in swatches}
        self._cuts: dict[str, _CutSquare] = {}

    def room(self, label: str, need: Need) -> int:
        """Return how many of a need's pieces a square still gives."""
        cut, grid = self._cuts.get(label), grid_of(self.bundle[label], need)
        if cut is None:
            return math.prod(grid)
        return math.prod(grid) - cut.used if grid == cut.grid else 0

    def has(self, labels: Sequence[str], need: Need) -> bool:
        """Say whether each square gives a piece, one named twice two of them."""
        wanted = Counter(labels)
        return all(
            label in self.bundle and number <= self.room(label, need)
            for label, number in wanted.items()
        )

    def take(self, labels: Sequence[str], need: Need) -> None:
        """Take a piece of each square."""
        for label in labels:
            grid = grid_of(self.bundle[label], need)
            cut = self._cuts.setdefault(label, _CutSquare(grid, need.size))
            cut.used += 1
            cut.size = max(cut.size, need.size)

    @property
    def whole(self) -> dict[str, Swatch]:
        """The squares that nothing was taken of, by label."""
        return {label: one for label, one in self.bundle.items() if label not in self._cuts}

    def rests(self) -> list[Rest]:
        """Return what is left of squares that something was taken of."""
        return [
            Rest(label, math.prod(cut.grid) - cut.used, cut.size)
            for label, cut in self._cuts.items()
            if cut.used < math.prod(cut.grid)
        ]

    def scraps(self) -> list[Scrap]:
        """Return what small pieces may come from: rests of squares, and whole ones."""
        found = []
        for label, swatch in self.bundle.items():
            cut = self._cuts.get(label)
            along, across = cut.grid if cut else (1, 1)
            left = along * across - (cut.used if cut else 0)
            if left:
                found.append(Scrap(swatch, (along, across), left, cut.size if cut else None))
        return found


@dataclass
class Scrap:
    """Equal pieces of one cloth that small pieces are cut from."""

    swatch: Swatch
    parts: Grid
    """Into which the square was cut; 1 by 1 of a whole one."""
    number: int
    size: Fraction | None
    """To which the square was cut; None of a whole square."""
    grid: Grid = NO_GRID
    """Into what each is cut, once something is."""
    used: int = 0
    """Small pieces taken."""

    @property
    def label(self) -> str:
        """Of the square."""
        return self.swatch.label

    def each(self, need: Need) -> int:
        """Return how many of a need's pieces come from one of them."""
        return math.prod(self._grid(need))

    def _grid(self, need: Need) -> Grid:
        square = self.swatch.square
        wide, high = (
            fitting(side / parts, need.size, need.of_square / parts, allowance_of(square))
            for side, parts in zip(sides_of(square, need.of_square), self.parts, strict=True)
        )
        return wide, high

    def room(self, need: Need) -> int:
        """Return how many of a need's pieces it still gives; all are cut in one way."""
        grid = self._grid(need)
        if self.used and grid != self.grid:
            return 0
        return math.prod(grid) * self.number - self.used

    def take(self, number: int, need: Need) -> None:
        """Take small pieces."""
        self.grid = self._grid(need)
        self.used += number

    @property
    def left(self) -> int:
        """How many of them nothing was cut from."""
        return self.number - (-(-self.used // math.prod(self.grid)) if self.used else 0)
