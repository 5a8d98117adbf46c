"""Square roots on the marks of a ruler, without error: every diagonal is one."""

from __future__ import annotations

import math
from fractions import Fraction


def root_up(number: Fraction, step: Fraction) -> Fraction:
    """Return the least multiple of `step` whose square is at least `number` (0 or more)."""
    whole = math.ceil(number / step**2)
    return (math.isqrt(whole - 1) + 1) * step if whole else Fraction(0)


def root_down(number: Fraction, step: Fraction) -> Fraction:
    """Return the greatest multiple of `step` whose square is no more than `number` (0 or more)."""
    return math.isqrt(math.floor(number / step**2)) * step
