"""Precut pieces of cloth, and how much of them is as much cloth as others."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Final


@dataclass(frozen=True)
class Precut:
    """Cloth as it is sold ready cut."""

    name: str
    width: Fraction
    """Inches, nominal: real packs run up to 1/4 smaller, so measure."""
    length: Fraction
    usual_count: int
    """Pieces in a usual pack."""

    @property
    def area(self) -> Fraction:
        """Square inches of one piece."""
        return self.width * self.length


PRECUTS: Final = (
    Precut("5 in square", Fraction(5), Fraction(5), 42),
    Precut("10 in square", Fraction(10), Fraction(10), 42),
    Precut("2 1/2 in strip", Fraction(40), Fraction(5, 2), 42),
    Precut("fat quarter", Fraction(20), Fraction(18), 1),
    Precut("fat eighth", Fraction(20), Fraction(9), 1),
    Precut("quarter yard", Fraction(40), Fraction(9), 1),
    Precut("yard", Fraction(40), Fraction(36), 1),
)
"""Counts and sizes of rows PC001 to PC013 of ``tests/trade_checks/yardage.csv``. Of a fat quarter's
widths (20, 21, 22) and of cloth's the smallest is taken, so that none is promised that is not
there; a fat eighth's 20 is half of that cloth, though its sources print 21 and 22."""


def area(count: int, width: Fraction, length: Fraction) -> Fraction:
    """Return the cloth in equal pieces, square inches."""
    return count * width * length


def as_much_as(square_inches: Fraction, precut: Precut) -> int:
    """Return how many of a precut hold at least as much cloth, by area alone.

    As much cloth does not give as many pieces: what pieces it gives is for `pieces_from_cloth`.
    """
    return math.ceil(square_inches / precut.area)
