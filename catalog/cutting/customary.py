"""Sizes that are customary on the cutting table, inches."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

QUARTER_SEAM: Final = Fraction(1, 4)
"""The quilter's usual seam allowance."""
USABLE_WIDTH: Final = Fraction(40)
"""Of cloth between the selvages that one may count on. Published plans divide by 40 (the most
common and most careful figure), 42 (magazines) or 44 (old charts), while bolts measure 42 to 45
with their selvages; 40 is followed, for a plan made for 42 runs short on a bolt of 41."""
