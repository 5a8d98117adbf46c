"""A rectangle of cloth cut up by straight cuts from edge to edge, in whole units of the plan."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

CutWay = Literal["", "down", "across"]
"""How a rectangle is cut in two: down it at some width, across it at some length, or not at all."""
Placed = tuple[int, int, int, int, int]
"""Kind, x, y, width, length."""
Line = tuple[int, int, int, int, int]
"""Stage from 1, x0, y0, x1, y1."""


@dataclass(frozen=True)
class SheetPiece:
    """Pieces of one kind that are to come from precuts."""

    sides: tuple[tuple[int, int], ...]
    """(width, length) in each way that it may lie, one or two."""
    count: int


@dataclass(frozen=True)
class CutTree:
    """A rectangle and how it is cut up."""

    width: int
    length: int
    kind: int | None = None
    """Of the piece that is cut from its upper left corner; None where it is cut in two or left."""
    piece: tuple[int, int] = (0, 0)
    """Width and length of that piece as it lies."""
    cut: CutWay = ""
    parts: tuple[CutTree, ...] = ()
    """The left and the right, or the upper and the lower."""

    def placed(self, x: int = 0, y: int = 0) -> Iterator[Placed]:
        """Give the pieces where they lie."""
        if self.kind is not None:
            yield self.kind, x, y, *self.piece
        for part in self.parts:
            yield from part.placed(x, y)
            x, y = (x + part.width, y) if self.cut == "down" else (x, y + part.length)

    def counts(self, kinds: int) -> tuple[int, ...]:
        """Return how many pieces of each kind come from it."""
        found = [0] * kinds
        for kind, *_ in self.placed():
            found[kind] += 1
        return tuple(found)

    def of_kind(self, kind: int) -> CutTree:
        """Return it with its pieces, which are all of one kind, called by another number."""
        parts = tuple(part.of_kind(kind) for part in self.parts)
        return replace(self, kind=None if self.kind is None else kind, parts=parts)

    def enlarged(self, width: int, length: int) -> CutTree:
        """Return the same pieces cut from a rectangle that is no smaller."""
        if not self.parts:
            return replace(self, width=width, length=length)
        one, other = self.parts
        if self.cut == "down":
            first = one.enlarged(one.width, length)
            return split(width, length, "down", first, other.enlarged(width - one.width, length))
        first = one.enlarged(width, one.length)
        return split(width, length, "across", first, other.enlarged(width, length - one.length))

    def in_units(
        self, coarse: int, true: Sequence[SheetPiece], rounded: Sequence[SheetPiece]
    ) -> CutTree:
        """Return it in units as many times finer, with its pieces in their true sizes."""
        piece = self.piece
        if self.kind is not None:
            lying = rounded[self.kind].sides.index(self.piece)
            piece = true[self.kind].sides[lying]
        parts = tuple(part.in_units(coarse, true, rounded) for part in self.parts)
        wide, long = self.width * coarse, self.length * coarse
        return replace(self, width=wide, length=long, piece=piece, parts=parts)

    def still_wanted(self, to_cut: list[int]) -> CutTree:
        """Return it without the pieces beyond those wanted, whose numbers are counted down."""
        if self.kind is not None:
            if not to_cut[self.kind]:
                return CutTree(self.width, self.length)
            to_cut[self.kind] -= 1
            return self
        parts = tuple(part.still_wanted(to_cut) for part in self.parts)
        if not any(part.kind is not None or part.parts for part in parts):
            return CutTree(self.width, self.length)
        return replace(self, parts=parts)

    def lines(self, x: int = 0, y: int = 0, stage: int = 1, before: str = "") -> Iterator[Line]:
        """Give the cuts with their stages: all of one run the same way and need those before."""
        if self.kind is not None:
            yield from self._freeing(x, y, stage, before)
            return
        if not self.parts:
            return
        stage += before not in {"", self.cut}
        first = self.parts[0]
        if self.cut == "down":
            yield stage, x + first.width, y, x + first.width, y + self.length
        else:
            yield stage, x, y + first.length, x + self.width, y + first.length
        for part in self.parts:
            yield from part.lines(x, y, stage, self.cut)
            x, y = (x + part.width, y) if self.cut == "down" else (x, y + part.length)

    def _freeing(self, x: int, y: int, stage: int, before: str) -> Iterator[Line]:
        """Give the cuts that free a piece from a larger rectangle."""
        wide, long = self.piece
        if wide < self.width:
            stage += before not in {"", "down"}
            yield stage, x + wide, y, x + wide, y + self.length
            before = "down"
        if long < self.length:
            stage += before not in {"", "across"}
            yield stage, x, y + long, x + wide, y + long


def split(width: int, length: int, cut: CutWay, first: CutTree, second: CutTree) -> CutTree:
    """Return a rectangle cut in two."""
    return CutTree(width, length, cut=cut, parts=(first, second))
