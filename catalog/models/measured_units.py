"""A sewn unit measured against the size that it is trimmed to."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from catalog.models.squares import Square

UnitFit = Literal["fits", "too small", "larger", "sewn in"]
"""Smaller or larger than its trim size by more than the photo leaves in doubt, or neither; not to
be measured where a seam has taken up part of it."""


@dataclass(frozen=True)
class MeasuredUnit:
    """One trimmed unit as a photo shows it."""

    label: str
    """By row and column, such as ``R2C3``, in its photo."""
    photo: str
    """Name of the photo."""
    square: Square
    trim: Fraction
    """What it should measure, inches."""
    doubt: float
    """Inches by which it may measure otherwise without that being sure."""

    sewn_in: bool = False
    """Whether it lies edge to edge with another, as sewn ones do."""

    @property
    def fit(self) -> UnitFit:
        """How it measures against its trim size; too small where one of its sides is."""
        if self.sewn_in:
            return "sewn in"
        low, high = sorted((self.square.width_in, self.square.height_in))
        if low < float(self.trim) - self.doubt:
            return "too small"
        return "larger" if high > float(self.trim) + self.doubt else "fits"
