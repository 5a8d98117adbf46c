"""Between which numbers the rules for sets can be meant: the same wherever they are said."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True)
class Limits:
    """The least and the most that a number may be."""

    least: float
    most: float

    def hold(self, number: float) -> bool:
        """Tell whether a number lies between them."""
        return math.isfinite(number) and self.least <= number <= self.most

    def nearest(self, number: float) -> float:
        """Return the number, or the limit that it goes beyond."""
        return min(max(number, self.least), self.most)

    def __str__(self) -> str:
        return f"{self.least:g} to {self.most:g}"


TOLERANCE: Final = Limits(1, 20)
"""CIEDE2000. Below 1 no two photographed squares are told apart, and 20 is twice what is clearly
different (see `catalog.bundle.tally_notes`)."""
STEP: Final = Limits(0, 100)
"""Of L*."""
LIGHTNESS_WEIGHT: Final = Limits(0.5, 4)
"""kL of CIEDE2000: 1 and 2 are in use."""
FAMILIES: Final = Limits(1, 40)
"""Of colour."""
SET_SIZE: Final = Limits(2, 4)
SIDE: Final = Limits(0.5, 60)
"""Of a square, inches: two seams of 1/4 leave nothing to see of the smallest, and the largest is
more than the width of a bolt of quilting cotton (42 to 45)."""
REFERENCE_BAR: Final = Limits(3, 12)
"""Of the bar on a reference page, inches: printed at half and at twice its size."""
SEAM: Final = Limits(0, 1)
"""Inches; patchwork is sewn at a quarter, and a wider seam than this is a slip of the unit."""
