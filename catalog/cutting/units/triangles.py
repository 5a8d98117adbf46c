"""Half-square and quarter-square triangles."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from catalog.cutting.units.cutting_method import Method, StripYield, UnitPiece
from catalog.cutting.units.surd import ROOT2, Number, Surd
from catalog.cutting.units.unit_sizes import FINISHED, SEAM, UNFINISHED, Size
from catalog.lengths import EIGHTH

COMMON_FACTOR: Final = Fraction(64, 100)
"""A widely copied divisor for four at a time, of the unfinished size. It is right near 5 in squares
only, as it leaves out that the seam adds the same to large and small: 1/4 in too small for units of
1 1/2 in, 1/2 in too large for 6 1/2 in."""

_ON_THE_SEAM: Final = (
    "Trim it with the ruler's 45 degree line on the seam, so that the seam runs into two corners."
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


def half_square_triangles_two() -> Method:
    """Two at a time: two squares, a seam each side of one diagonal, cut on the diagonal.

    In a triangle of short side c the slanted side lies c/√2 from the corner; the stitches lie one
    seam nearer, so the opened unit measures √2 (c/√2 - seam) = c - √2 seam.
    """
    return Method(
        unit="half-square-triangle",
        at_a_time=2,
        units=2,
        pieces=(UnitPiece("square", 2, UNFINISHED + ROOT2 * SEAM, large=EIGHTH),),
        how="Lay two squares face to face, sew a seam each side of one diagonal and cut on the "
        "diagonal.",
        trimming=_ON_THE_SEAM,
    )


def half_square_triangles_four() -> Method:
    """Four at a time: two squares sewn all round the edge, cut on both diagonals.

    Each quarter has an edge c of the square as its slanted side, c/2 from the middle; the stitches
    lie one seam nearer, so the opened unit measures √2 (c/2 - seam).
    """
    return Method(
        unit="half-square-triangle",
        at_a_time=4,
        units=4,
        pieces=(UnitPiece("square", 2, ROOT2 * UNFINISHED + 2 * SEAM, large=2 * EIGHTH),),
        bias="All four outer edges are on the bias: starch first, and press without pulling.",
        how="Lay two squares face to face, sew all round the edge and cut on both diagonals.",
        trimming=_ON_THE_SEAM,
    )


def half_square_triangles_eight() -> Method:
    """Eight at a time: a seam each side of both diagonals, then quartered and cut apart.

    The four quarters, of side c/2, are squares sewn two at a time.
    """
    return Method(
        unit="half-square-triangle",
        at_a_time=8,
        units=8,
        pieces=(UnitPiece("square", 2, 2 * (UNFINISHED + ROOT2 * SEAM), large=2 * EIGHTH),),
        how="Lay two squares face to face, sew a seam each side of both diagonals, cut in quarters "
        "and then on the diagonals.",
        trimming=_ON_THE_SEAM,
    )


def half_square_triangles_strips() -> Method:
    """From two strips sewn along both long edges, triangles cut across by turns up and down.

    The slanted side lies on a sewn edge and the right angle reaches the other, w away: from the
    stitches it is w - seam high, so the unit measures √2 (w - seam). The triangles' bases are 2w
    and overlap by turns, so each takes w of the strip and the slanted ends cost one.
    """
    return Method(
        unit="half-square-triangle-strips",
        at_a_time=1,
        pieces=(UnitPiece("strip", 2, UNFINISHED / ROOT2 + SEAM, shape="strip"),),
        strips=StripYield(1, 2, lost=1),
        bias="All four outer edges are on the bias: starch first, and press without pulling.",
        how="Lay two strips face to face, sew both long edges and cut triangles by turns up and "
        "down; pick out the few stitches at each tip.",
        trimming=_ON_THE_SEAM,
    )


def quarter_square_triangles() -> Method:
    """Two at a time: two half-square triangles, face to face, sewn and cut across their seams.

    Each round of sewing beside a diagonal takes √2 seam (see two at a time).
    """
    return Method(
        unit="quarter-square-triangle",
        at_a_time=2,
        units=2,
        pieces=(UnitPiece("square", 2, UNFINISHED + 2 * ROOT2 * SEAM, large=2 * EIGHTH),),
        how="Make two half-square triangles, lay them face to face with the seams nested and the "
        "colours opposite, sew a seam each side of the other diagonal and cut on it.",
        trimming="Trim it with the ruler's 45 degree line on one seam and the middle of the trim "
        "size where the seams cross, so that they run into all four corners.",
    )


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


def triangle_side(size: Size, finished: Size) -> Size:
    """Return `size`, a length in terms of one finished side, with another length as that side."""
    return finished * size.finished + SEAM * size.seam
