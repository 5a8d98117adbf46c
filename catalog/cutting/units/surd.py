"""Exact numbers of the form a + b√n: lengths of straight cuts and of cuts on one slant."""

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
    """The number ``rational + root * √radicand``, closed under + - * / and compared exactly.

    Parameters
    ----------
    rational, root : Fraction
        Both in the unit of the whole number, inches or square inches.
    radicand : int
        2 of all that is cut at 45 degrees, 3 at 60, others of other slants; no square divides it.
        Numbers of two kinds can be compared, but not reckoned with one another.
    """

    rational: Fraction = Fraction(0)
    root: Fraction = Fraction(0)
    radicand: int = 2

    @classmethod
    def of(cls, number: Number) -> Surd:
        """Return `number` as a surd."""
        return number if isinstance(number, Surd) else cls(Fraction(number))

    @classmethod
    def square_root(cls, number: Fraction) -> Surd:
        """Return the square root of a number, 0 or more, exactly."""
        below = math.isqrt(number.denominator)
        whole = number.numerator
        if below**2 != number.denominator:  # √(p / q) = √(p q) / q
            whole, below = whole * number.denominator, number.denominator
        taken, free, factor = 1, 1, 2
        while factor**3 <= whole:  # what is left has then two prime factors at most
            if whole % factor:
                factor += 1
            elif whole % factor**2:
                whole, free = whole // factor, free * factor
            else:
                whole, taken = whole // factor**2, taken * factor
        if math.isqrt(whole) ** 2 == whole:
            whole, taken = 1, taken * math.isqrt(whole) if number else 0
        share = Fraction(taken, below)
        return cls(share) if free * whole == 1 else cls(root=share, radicand=free * whole)

    def _kind(self, other: Surd) -> int:
        """Return the radicand of what two numbers give together.

        Raises
        ------
        ValueError
            They have two.
        """
        if not other.root or self.radicand == other.radicand:
            return self.radicand
        if self.root:
            msg = f"expected roots of {self.radicand} alone, got one of {other.radicand}"
            raise ValueError(msg)
        return other.radicand

    def __add__(self, other: Number) -> Surd:
        other = Surd.of(other)
        kind = self._kind(other)
        return Surd(self.rational + other.rational, self.root + other.root, kind)

    def __neg__(self) -> Surd:
        return Surd(-self.rational, -self.root, self.radicand)

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
        kind = self._kind(other)
        return Surd(
            self.rational * other.rational + kind * self.root * other.root,
            self.rational * other.root + self.root * other.rational,
            kind,
        )

    def __truediv__(self, other: Number) -> Surd:
        other = Surd.of(other)
        # (a + b√n)(a - b√n) = a² - n b², which is 0 only for 0, for √n is no fraction.
        norm = other.rational**2 - other.radicand * other.root**2
        return self * Surd(other.rational / norm, -other.root / norm, other.radicand)

    __radd__ = __add__
    __rmul__ = __mul__

    def __rtruediv__(self, other: Number) -> Surd:
        return Surd.of(other) / self

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, int | Fraction | Surd):
            return NotImplemented
        other = Surd.of(other)
        same = (self.rational, self.root) == (other.rational, other.root)
        return same and (not self.root or self.radicand == other.radicand)

    def __lt__(self, other: Number) -> bool:
        other = Surd.of(other)
        if self.root and other.root and self.radicand != other.radicand:
            return _sign_of_difference(self, other) < 0
        return (self - other).sign < 0

    def __hash__(self) -> int:
        return hash((self.rational, self.root)) if self.root else hash(self.rational)

    def __float__(self) -> float:
        return float(self.rational) + float(self.root) * math.sqrt(self.radicand)

    @property
    def sign(self) -> int:
        """-1, 0 or 1, without rounding."""
        parts = [(part > 0) - (part < 0) for part in (self.rational, self.root)]
        if parts[0] * parts[1] >= 0:
            return parts[0] or parts[1]
        return parts[0] if self.rational**2 > self.radicand * self.root**2 else parts[1]

    def down_to(self, step: Fraction) -> Fraction:
        """Return the greatest multiple of `step` (more than 0) that is not above this number."""
        scaled = self / step
        below = math.lcm(scaled.rational.denominator, scaled.root.denominator)
        whole, root = int(scaled.rational * below), int(scaled.root * below)
        floor_of_root = math.isqrt(self.radicand * root * root)
        if root < 0:
            floor_of_root = -floor_of_root - 1
        return (whole + floor_of_root) // below * step

    def up_to(self, step: Fraction) -> Fraction:
        """Return the least multiple of `step` (more than 0) that is not below this number."""
        return -(-self).down_to(step)

    def nearest_to(self, step: Fraction) -> Fraction:
        """Return the nearest multiple of `step` (more than 0); a tie goes up."""
        return (self + step / 2).down_to(step)


def _sign_of_difference(one: Surd, other: Surd) -> int:
    """Return -1 or 1 for numbers with roots of two kinds, which are never equal.

    Both are taken in ever finer whole parts, each of which is known to less than one, until they
    differ by more than that.
    """
    scale = 1 << 64
    while True:
        low, high = (_in_parts(number, scale) for number in (one, other))
        if abs(low - high) > 4:
            return -1 if low < high else 1
        scale *= scale


def _in_parts(number: Surd, scale: int) -> int:
    """Return a number in parts of 1 / scale, less than two away from exact."""
    root = abs(number.root) * scale
    long = math.isqrt(number.radicand * root.numerator**2 // root.denominator**2)
    return math.floor(number.rational * scale) + (long if number.root > 0 else -long)


ZERO: Final = Surd()
ONE: Final = Surd(Fraction(1))
ROOT2: Final = Surd(root=Fraction(1))
"""The diagonal of a square of side 1."""
ROOT3: Final = Surd(root=Fraction(1), radicand=3)
"""Twice the height of a triangle with three equal sides of 1."""
