"""Rules and lists as the trade prints them, which the product's own arithmetic goes beyond."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from catalog.cutting.units.surd import Number, Surd
from catalog.cutting.yardage.bolt import YARD
from catalog.cutting.yardage.square_roots import root_up
from catalog.lengths import round_to

_INCH: Final = Fraction(1)


def row_unfinished(cut: Number, count: int, seam: Number) -> Surd:
    """Return the width of a row of equal pieces sewn side by side, raw edge to raw edge.

    Parameters
    ----------
    cut : Fraction or Surd
        Width of a piece as cut, inches.
    count : int
        Pieces, 1 or more.
    seam : Fraction or Surd
        Inches.

    Returns
    -------
    Surd
        Inches: each piece shows cut - 2 seam, and a seam is left at either end.
    """
    each = Surd.of(cut) - Surd.of(seam) * 2
    return each * count + Surd.of(seam) * 2


def quartered_finished(nine_finished: Fraction, seam: Fraction) -> Fraction:
    """Return the finished side of a quarter of a nine patch, inches, from the nine patch's."""
    return (nine_finished + 2 * seam) / 2 - 2 * seam


def pieces_per_strip(across: Fraction, usable_width: Fraction) -> int:
    """Return how many pieces of a width lie side by side: rounded down, 0 where none fits."""
    return math.floor(usable_width / across)


def strips_for_pieces(pieces: int, per_strip: int) -> int:
    """Return how many strips hold a number of pieces: rounded up."""
    return -(-pieces // per_strip)


def strips_from_length(length: Fraction, strip: Fraction) -> int:
    """Return how many strips of a height a length of cloth gives: rounded down.

    Charts that promise one strip fewer allow for straightening the raw edge; this doesn't.
    """
    return math.floor(length / strip)


def pieces_from_cloth(
    across: Fraction, along: Fraction, width: Fraction, length: Fraction, *, turn: bool = False
) -> int:
    """Return how many equal pieces a piece of cloth gives, in rows.

    Parameters
    ----------
    across, along : Fraction
        Size of a piece, inches.
    width, length : Fraction
        Size of the cloth, inches: a fat quarter, a precut, a yard.
    turn : bool
        Whether all pieces may be turned if that gives more.

    Returns
    -------
    int
        Whole pieces, 0 or more. Published charts that promise fewer lose a row to squaring up.
    """
    straight = math.floor(width / across) * math.floor(length / along)
    turned = math.floor(width / along) * math.floor(length / across)
    return max(straight, turned) if turn else straight


def bias_square_by_area(length: Fraction, strip: Fraction, step: Fraction = _INCH) -> Fraction:
    """Return the square of the published rule: the root of length x strip, rounded up to `step`.

    It takes every inch of the square for binding and forgets the seams; `binding` counts them.
    """
    return root_up(length * strip, step)


def bias_length_by_area(square: Fraction, strip: Fraction) -> Fraction:
    """Return the published length of bias strip from a square: its area over the strip, inches."""
    return square**2 / strip


def backing_by_area(width: Fraction, length: Fraction, add: Fraction = Fraction(1, 2)) -> Fraction:
    """Return the yards of the published estimate: area / 1296 and `add` yards.

    An estimate only: it knows no width of cloth and no seams; `backing` does.
    """
    return width * length / YARD**2 + add


def border_length(width: Fraction, length: Fraction, extra: Fraction = Fraction(0)) -> Fraction:
    """Return the length of all four borders as one strip: 2 x (width + length) + `extra`."""
    return 2 * (width + length) + extra


def yards(length: Fraction, *, step: Fraction | None = Fraction(1, 8)) -> Fraction:
    """Return inches as yards, rounded up to a multiple of `step` (None: not rounded)."""
    return length / YARD if step is None else round_to(length / YARD, step, "up")


def shrunk_percent(before: Fraction, after: Fraction) -> Fraction:
    """Return by how many percent a measured length shrank."""
    return (before - after) / before * 100


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


MATTRESSES: Final = {
    "twin": (Fraction(39), Fraction(75)),
    "long twin": (Fraction(39), Fraction(80)),
    "full": (Fraction(54), Fraction(75)),
    "queen": (Fraction(60), Fraction(80)),
    "king": (Fraction(76), Fraction(80)),
}
"""Width and length, inches: rows SZ031 to SZ035 of ``tests/trade_checks/yardage.csv``; the long
twin is 36 in one list and 39 in others, which is followed as it is the twin's width. Full: `common
practice`, with which the published drop of row SZ004 agrees."""


def grid_fit(length: Fraction, finished: Fraction) -> int:
    """Return how many finished pieces fit in a length, rounded down."""
    return math.floor(length / finished)


def widest_sashing(block: Fraction) -> Fraction:
    """Return the widest sashing that one published rule finds good: a quarter of the block."""
    return block / 4
