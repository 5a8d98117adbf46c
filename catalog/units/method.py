"""What a unit is made of: sizes as sums of the finished size and the seam, pieces, methods."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from catalog.lengths import EIGHTH
from catalog.units.surd import ONE, ZERO, Number, Surd

Shape = Literal["square", "rectangle", "strip"]
THOUSANDTH: Final = Fraction(1, 1000)
"""To which the trade prints the root of two."""


@dataclass(frozen=True)
class Size:
    """A length that grows evenly with the unit and with the seam: ``a * finished + b * seam``.

    Written as geometry, for instance ``FINISHED + 2 * SEAM`` for a side with its two seams.
    """

    finished: Surd = ZERO
    seam: Surd = ZERO

    def __add__(self, other: Size) -> Size:
        return Size(self.finished + other.finished, self.seam + other.seam)

    def __mul__(self, number: Number) -> Size:
        return Size(self.finished * number, self.seam * number)

    __rmul__ = __mul__

    def __sub__(self, other: Size) -> Size:
        return self + other * -1

    def __truediv__(self, number: Number) -> Size:
        return self * (1 / Surd.of(number))

    def at(self, finished: Number, seam: Number) -> Surd:
        """Return the exact length, inches, for a finished size and a seam in inches."""
        return self.finished * finished + self.seam * seam

    def finished_at(self, length: Number, seam: Number) -> Surd:
        """Return the finished size, inches, at which this comes to `length`: `at` undone."""
        return (length - self.seam * seam) / self.finished

    def allowance(self, seam: Fraction, mark: Fraction = EIGHTH) -> Fraction:
        """Return what the seams add, rounded up to a mark, as the trade adds it (7/8, 1 1/4)."""
        return (self.seam * seam).up_to(min(mark, EIGHTH))

    def by_rule(self, finished: Number, seam: Fraction, mark: Fraction = EIGHTH) -> Surd:
        """Return the length by the trade's rule: its factor and the rounded allowance added."""
        return trade_factor(self.finished) * finished + self.allowance(seam, mark)


def trade_factor(factor: Surd) -> Surd:
    """Return a factor as the trade prints it: times 1.414, or divided by 1.414."""
    if not factor.root:
        return factor
    return 1 / trade_factor(1 / factor) if factor < 1 else Surd.of(factor.nearest_to(THOUSANDTH))


FINISHED: Final = Size(finished=ONE)
"""The unit's width once it is sewn in."""
SEAM: Final = Size(seam=ONE)
"""From the raw edge to the stitches."""
UNFINISHED: Final = FINISHED + 2 * SEAM
"""The unit's width with a seam at either side."""


@dataclass(frozen=True)
class Piece:
    """One kind of piece to cut for a set of units."""

    what: str
    """In the trade's words, singular."""
    count: int
    """For one set."""
    width: Size
    """Side of a square, long side of a rectangle, width of a strip."""
    height: Size | None = None
    """Short side of a rectangle."""
    shape: Shape = "square"
    flipped: bool = False
    """Sewn across a corner, after which what lies outside the seam is cut off."""
    rule_first: bool = False
    """Cut by the trade's rule, which rounds the allowance up before it adds it, as its charts do;
    never less than exact."""
    free: bool = False
    """Whether its size shows and nothing else hangs on it, so that it may lie nearer than a whole
    mark above."""
    large: Fraction = Fraction(0)
    """Inches to add when it is cut large, to be trimmed once sewn; common practice."""


@dataclass(frozen=True)
class StripYield:
    """How units come out of strips sewn together and cut across."""

    segments_per_unit: int
    pieces_per_unit: int
    """Each the square of a strip's width in area."""
    lost: int = 0
    """Segments that the slanted ends cost."""

    def units(self, usable: Fraction, cut: Fraction) -> int:
        """Return how many units strips of `usable` length give, both in inches."""
        return max(segments(usable, cut) - self.lost, 0) // self.segments_per_unit


def segments(usable: Fraction, cut: Fraction) -> int:
    """Return how many pieces of length `cut` lie in a strip of length `usable`, both inches."""
    return int(usable // cut)


@dataclass(frozen=True)
class Method:
    """A way to make a unit."""

    unit: str
    """Its name in the command."""
    at_a_time: int
    """By which the trade tells ways of one unit apart."""
    pieces: tuple[Piece, ...]
    """The first is the one that a square in hand is taken for."""
    how: str
    """How it is sewn, one sentence or two."""
    units: int = 1
    """Units that one set of pieces gives; of strips see `strips`."""
    aspect: Fraction = Fraction(1)
    """Finished height over finished width."""
    face: Surd = ONE
    """Finished area over the square of the finished width."""
    bias: str = ""
    """Which edges it leaves on the bias; empty where none."""
    strips: StripYield | None = None
    trimmed: bool = True
    """Whether it is trimmed once sewn; patches are not, as their outer ones would shrink."""
    fills: bool = False
    """Whether it fills the edge of a quilt; its sizes are then those of the block it meets."""

    @property
    def main(self) -> Piece:
        """The piece that a square in hand is taken for."""
        return self.pieces[0]

    def sewn(self, cut: Number, seam: Number) -> Surd:
        """Return the exact unfinished width, inches, from the first piece's cut and the seam."""
        return UNFINISHED.at(self.main.width.finished_at(cut, seam), seam)
