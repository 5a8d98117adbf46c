"""Sides of right triangles with their seams, and what else of triangles several units share."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from catalog.cutting.units.surd import ROOT2, Number, Surd
from catalog.cutting.units.unit_sizes import FINISHED, SEAM, Size

COMMON_FACTOR: Final = Fraction(64, 100)
"""A widely copied divisor for four at a time, of the unfinished size. It is right near 5 in squares
only, as it leaves out that the seam adds the same to large and small: 1/4 in too small for units of
1 1/2 in, 1/2 in too large for 6 1/2 in."""

ON_THE_SEAM: Final = (
    "Trim it with the ruler's 45 degree line on the seam, so that the seam runs into two corners."
)
ALL_ON_THE_BIAS: Final = (
    "All four outer edges are on the bias: starch first, and press without pulling."
)

TRIM_AT_THE_EDGE: Final = (
    "Trim it only once the top is together: the quilt's edge, a seam outside the blocks' points."
)

HALF_TRIANGLE: Final = FINISHED + (2 + ROOT2) * SEAM
"""Short side of a right triangle with equal short sides, with its seams, from its finished one.

A seam along either short side adds 1 seam at the right angle; the seam along the slanted long side
moves that side out by 1 seam, so each short side grows by √2 at the far end, and the point that the
first seam makes there by 1 more: 2 + √2 seams in all."""

QUARTER_TRIANGLE: Final = FINISHED + (2 + 2 * ROOT2) * SEAM
"""Long side of the same triangle, with its seams, from its finished one.

The height, half the long side, grows by 1 seam at the long side and by √2 at the right angle, whose
two seams meet there; the long side by twice that."""


def triangle_side(size: Size, finished: Size) -> Size:
    """Return `size`, a length in terms of one finished side, with another length as that side."""
    return finished * size.finished + SEAM * size.seam


def diagonal(side: Number) -> Surd:
    """Return the diagonal of a square, in the unit of its side: √2 side."""
    return ROOT2 * side


def bonus_triangle(corner_square: Number, gap: Number) -> Surd:
    """Return the unfinished half-square triangle that a second seam makes of a flipped corner.

    Parameters
    ----------
    corner_square : Fraction or Surd
        Side of the corner square as cut, inches.
    gap : Fraction or Surd
        From the first seam, on the diagonal, to the second, inches; two seams leave both their
        allowance.

    Returns
    -------
    Surd
        Inches: the diagonal lies k/√2 from the corner, the second seam `gap` nearer, so
        √2 (k/√2 - gap).
    """
    return corner_square - ROOT2 * gap


def common_factor_cut(unfinished: Fraction) -> Fraction:
    """Return the square that dividing by 0.64 gives for four at a time, right or wrong, inches."""
    return unfinished / COMMON_FACTOR
