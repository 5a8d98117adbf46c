"""Precuts filled piece by piece, large before small: a plan that is always there."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import product

from catalog.cutting.layouts.cut_tree import CutTree, CutWay, SheetPiece, split


@dataclass
class _Free:
    """A rectangle under way: free, or with a piece in its corner and two free parts beside it."""

    width: int
    length: int
    kind: int | None = None
    side: tuple[int, int] = (0, 0)
    first: CutWay = ""
    """Which cut comes first."""
    rest: list[_Free] = field(default_factory=list)
    """What lies at the right, and below."""

    def spots(self) -> Iterator[_Free]:
        """Give the free rectangles in it."""
        if self.kind is None:
            yield self
        for part in self.rest:
            yield from part.spots()

    def put(self, kind: int, side: tuple[int, int], first: CutWay) -> None:
        """Lay a piece in the corner."""
        a, b = side
        self.kind, self.side, self.first = kind, side, first
        right = _Free(self.width - a, self.length if first == "down" else b)
        below = _Free(a if first == "down" else self.width, self.length - b)
        self.rest = [right, below]

    def tree(self) -> CutTree:
        """Return it as it is cut up."""
        if self.kind is None:
            return CutTree(self.width, self.length)
        right, below = (part.tree() for part in self.rest)
        a, b = self.side
        own = CutTree(a, b, self.kind, self.side)
        if self.first == "down":
            left = _joined(a, self.length, "across", own, below)
            return _joined(self.width, self.length, "down", left, right)
        top = _joined(self.width, b, "down", own, right)
        return _joined(self.width, self.length, "across", top, below)


def _joined(wide: int, long: int, cut: CutWay, first: CutTree, second: CutTree) -> CutTree:
    """Return two parts as one rectangle; the first alone where nothing is left for the second."""
    return split(wide, long, cut, first, second) if second.width and second.length else first


def filled(kinds: Sequence[SheetPiece], width: int, length: int) -> list[CutTree]:
    """Return the fewest precuts found by filling them piece by piece, each as it is cut up."""
    firsts: tuple[CutWay, ...] = ("down", "across", "")
    ways = product((_by_area, _by_long_side), firsts)
    return min((_filled(kinds, width, length, *way) for way in ways), key=len)


def _by_area(side: tuple[int, int]) -> tuple[int, int]:
    return side[0] * side[1], max(side)


def _by_long_side(side: tuple[int, int]) -> tuple[int, int]:
    return max(side), min(side)


def _filled(
    kinds: Sequence[SheetPiece],
    width: int,
    length: int,
    size_of: Callable[[tuple[int, int]], tuple[int, int]],
    first: CutWay,
) -> list[CutTree]:
    sheets: list[_Free] = []
    for number in sorted(range(len(kinds)), key=lambda n: size_of(kinds[n].sides[0]), reverse=True):
        for _ in range(kinds[number].count):
            _lay(sheets, kinds[number], number, (width, length), first)
    return [sheet.tree() for sheet in sheets]


def _lay(
    sheets: list[_Free], kind: SheetPiece, number: int, whole: tuple[int, int], first: CutWay
) -> None:
    """Lay one piece where the least is left beside it; on a fresh precut where it fits on none."""
    found = _closest((spot for sheet in sheets for spot in sheet.spots()), kind)
    if found is None:
        sheets.append(_Free(*whole))
        found = _closest(sheets[-1].spots(), kind)
    if found is None:
        msg = f"a piece of {kind.sides} is larger than {whole}"
        raise ValueError(msg)
    spot, side = found
    shorter: CutWay = "down" if spot.width - side[0] >= spot.length - side[1] else "across"
    spot.put(number, side, first or shorter)


def _closest(spots: Iterator[_Free], kind: SheetPiece) -> tuple[_Free, tuple[int, int]] | None:
    fits = [
        (min(spot.width - a, spot.length - b), n, spot, (a, b))
        for n, spot in enumerate(spots)
        for a, b in kind.sides
        if a <= spot.width and b <= spot.length
    ]
    if not fits:
        return None
    _, _, spot, side = min(fits, key=lambda one: one[:2])
    return spot, side
