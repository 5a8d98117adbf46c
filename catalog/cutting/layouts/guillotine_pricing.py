"""The most valuable way to cut up a precut by straight cuts, pieces having prices.

The recursion of P. Gilmore and R. Gomory, "The theory and computation of knapsack functions", Oper.
Res. 14 (1966), over the widths and lengths that sums of pieces make (N. Christofides, C. Whitlock,
"An algorithm for two-dimensional cutting problems", Oper. Res. 25 (1977)).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from catalog.cutting.layouts.cut_tree import CutTree, SheetPiece, split

Floats = NDArray[np.float64]
SLACK = 1e-9
"""Room for rounding in sums of prices."""


class PricedSheet:
    """One size of precut and the pieces that it may be cut into.

    Parameters
    ----------
    kinds : sequence of SheetPiece
    width, length : int
        Of the precut, units.
    """

    def __init__(self, kinds: Sequence[SheetPiece], width: int, length: int) -> None:
        self.kinds, self.width, self.length = kinds, width, length
        sides = [side for kind in kinds for side in kind.sides]
        self.xs = _sums((a for a, _ in sides), width)
        self.ys = _sums((b for _, b in sides), length)
        self._across = _halves(self.xs, _indices(self.xs, width))
        self._down = _halves(self.ys, _indices(self.ys, length))

    @property
    def points(self) -> int:
        """How many rectangles are worked out for a price."""
        return len(self.xs) * len(self.ys)

    def best(self, prices: Floats) -> tuple[float, CutTree]:
        """Return what a precut is worth at most, and how it is cut up for that.

        Kinds may be cut more often than they are wanted, so the worth is never too small.
        """
        self._single = self._singles(prices)
        values = self._values = np.zeros_like(self._single)
        for i in range(1, len(self.xs)):
            row = np.maximum(self._single[i], self._cut_down(values, i))
            values[i] = row
            for j in range(1, len(self.ys)):
                first, second = self._down[j]
                if len(first):
                    here = values[i]
                    here[j] = max(here[j], (here[first] + here[second]).max())
        corner = len(self.xs) - 1, len(self.ys) - 1
        return float(values[corner]), self._tree(*corner, self.width, self.length, prices)

    def _singles(self, prices: Floats) -> Floats:
        """Return what one piece alone is worth in each rectangle."""
        found = np.zeros((len(self.xs), len(self.ys)))
        for price, kind in zip(prices, self.kinds, strict=True):
            for a, b in kind.sides:
                part = found[np.searchsorted(self.xs, a) :, np.searchsorted(self.ys, b) :]
                np.maximum(part, price, out=part)
        return found

    def _cut_down(self, values: Floats, i: int) -> Floats:
        first, second = self._across[i]
        if not len(first):
            return np.zeros(len(self.ys))
        worth: Floats = (values[first] + values[second]).max(axis=0)
        return worth

    def _tree(self, i: int, j: int, wide: int, long: int, prices: Floats) -> CutTree:
        """Return how a rectangle is cut up for its worth."""
        worth = self._values[i, j]
        if worth <= SLACK:
            return CutTree(wide, long)
        if abs(self._single[i, j] - worth) <= SLACK:
            return self._leaf(wide, long, worth, prices)
        for first, second in zip(*self._across[i], strict=True):
            if abs(self._values[first, j] + self._values[second, j] - worth) <= SLACK:
                left = int(self.xs[first])
                one = self._tree(first, j, left, long, prices)
                return split(
                    wide, long, "down", one, self._tree(second, j, wide - left, long, prices)
                )
        for first, second in zip(*self._down[j], strict=True):
            if abs(self._values[i, first] + self._values[i, second] - worth) <= SLACK:
                top = int(self.ys[first])
                one = self._tree(i, first, wide, top, prices)
                return split(
                    wide, long, "across", one, self._tree(i, second, wide, long - top, prices)
                )
        msg = f"no cut makes {worth} of {wide} x {long}"
        raise AssertionError(msg)

    def _leaf(self, wide: int, long: int, worth: float, prices: Floats) -> CutTree:
        kind, side = next(
            (number, side)
            for number, kind in enumerate(self.kinds)
            for side in kind.sides
            if side[0] <= wide and side[1] <= long and abs(prices[number] - worth) <= SLACK
        )
        return CutTree(wide, long, kind, side)


def _sums(sides: Iterable[int], most: int) -> NDArray[np.int64]:
    """Return 0 and all sums of sides up to `most`, from the smallest."""
    reached = 1
    limit = (1 << (most + 1)) - 1
    for side in set(sides):
        step = side
        while step <= most:
            reached |= (reached << step) & limit
            step *= 2
    return np.array([one for one in range(most + 1) if reached >> one & 1], np.int64)


def _halves(
    sums: NDArray[np.int64], down: NDArray[np.int64]
) -> list[tuple[NDArray[np.int64], NDArray[np.int64]]]:
    """Return for each length the first parts of its cuts, up to half, and what the rests hold."""
    firsts = [np.arange(1, np.searchsorted(sums, one // 2, "right")) for one in sums]
    return [(first, down[one - sums[first]]) for first, one in zip(firsts, sums, strict=True)]


def _indices(sums: NDArray[np.int64], most: int) -> NDArray[np.int64]:
    """Return for each length the place of the largest sum that it holds."""
    return np.searchsorted(sums, np.arange(most + 1), "right") - 1
