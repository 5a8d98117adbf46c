"""Exact numbers of the form a + b√2: every length that straight and 45 degree cuts can make."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import total_ordering
from typing import Final, Union

Number = Union[int, Fraction, "Surd"]


@total_ordering
@dataclass(frozen=True, eq=False)
class Surd:
    """The number ``rational + root * √2``, closed under + - * / and compared exactly.

    Parameters
    ----------
    rational, root : Fraction
        Both in the unit of the whole number, inches or square inches.
    """

    rational: Fraction = Fraction(0)
    root: Fraction = Fraction(0)

    @classmethod
    def of(cls, number: Number) -> Surd:
        """Return `number` as a surd."""
        return number if isinstance(number, Surd) else cls(Fraction(number))

    def __add__(self, other: Number) -> Surd:
        other = Surd.of(other)
        return Surd(self.rational + other.rational, self.root + other.root)

    def __neg__(self) -> Surd:
        return Surd(-self.rational, -self.root)

    def __abs__(self) -> Surd:
        return -self if self.sign < 0 else self

    def __sub__(self, other: Number) -> Surd:
        return self + -Surd.of(other)

    def __rsub__(self, other: Number) -> Surd:
        return Surd.of(other) - self

    def __mul__(self, other: Number) -> Surd:
        if not isinstance(other, int | Fraction | Surd):
            return NotImplemented  # so that a size can be multiplied by a surd from the left
        other = Surd.of(other)
        return Surd(
            self.rational * other.rational + 2 * self.root * other.root,
            self.rational * other.root + self.root * other.rational,
        )

    def __truediv__(self, other: Number) -> Surd:
        other = Surd.of(other)
        # (a + b√2)(a - b√2) = a² - 2b², which is 0 only for 0, for √2 is no fraction.
        norm = other.rational**2 - 2 * other.root**2
        return self * Surd(other.rational / norm, -other.root / norm)

    __radd__ = __add__
    __rmul__ = __mul__

    def __rtruediv__(self, other: Number) -> Surd:
        return Surd.of(other) / self

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, int | Fraction | Surd):
            return NotImplemented
        other = Surd.of(other)
        return (self.rational, self.root) == (other.rational, other.root)

    def __lt__(self, other: Number) -> bool:
        return (self - other).sign < 0

    def __hash__(self) -> int:
        return hash((self.rational, self.root)) if self.root else hash(self.rational)

    def __float__(self) -> float:
        return float(self.rational) + float(self.root) * math.sqrt(2)

    @property
    def sign(self) -> int:
        """-1, 0 or 1, without rounding."""
        parts = [(part > 0) - (part < 0) for part in (self.rational, self.root)]
        if parts[0] * parts[1] >= 0:
            return parts[0] or parts[1]
        return parts[0] if self.rational**2 > 2 * self.root**2 else parts[1]

    def down_to(self, step: Fraction) -> Fraction:
        """Return the greatest multiple of `step` (more than 0) that is not above this number."""
        scaled = self / step
        below = math.lcm(scaled.rational.denominator, scaled.root.denominator)
        whole, root = int(scaled.rational * below), int(scaled.root * below)
        floor_of_root = math.isqrt(2 * root * root)
        if root < 0:
            floor_of_root = -floor_of_root - 1
        return (whole + floor_of_root) // below * step

    def up_to(self, step: Fraction) -> Fraction:
        """Return the least multiple of `step` (more than 0) that is not below this number."""
        return -(-self).down_to(step)

    def nearest_to(self, step: Fraction) -> Fraction:
        """Return the nearest multiple of `step` (more than 0); a tie goes up."""
        return (self + step / 2).down_to(step)


ZERO: Final = Surd()
ONE: Final = Surd(Fraction(1))
ROOT2: Final = Surd(root=Fraction(1))
"""The diagonal of a square of side 1."""
