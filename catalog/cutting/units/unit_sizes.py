"""Sizes as sums of the finished size and the seam, exact and as the trade rounds them."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from catalog.cutting.units.surd import ONE, ZERO, Number, Surd
from catalog.lengths import EIGHTH

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


def on_inch_ruler(mark: Fraction) -> bool:
    """Say whether marks are those of a ruler in inches; of those the trade's rules speak."""
    return 64 % mark.denominator == 0


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
