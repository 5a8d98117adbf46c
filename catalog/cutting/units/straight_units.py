"""What units of straight pieces share: words, and the patches of equal squares."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from catalog.cutting.units.cutting_method import Method, UnitPiece
from catalog.cutting.units.unit_sizes import FINISHED, SEAM

AS_SEWN: Final = (
    "Don't trim it: the outer squares would shrink, and their seams no longer meet the next unit's."
)


def patch(across: int, unit: str = "patch") -> Method:
    """Return rows of equal squares, as many as there are in a row, sewn square by square.

    Each finishes at its share of the side and has a seam all round.

    Parameters
    ----------
    across : int
        Squares in a row, 1 or more.
    unit : str
        The command's name for it.
    """
    return Method(
        unit=unit,
        trimmed=False,
        trimming=AS_SEWN,
        at_a_time=1,
        pieces=(UnitPiece("square", across**2, FINISHED / across + 2 * SEAM),),
        how=f"Sew {across} rows of {across} squares, press them opposite ways, and sew the rows "
        "together.",
    )


def squares_from_square(square: Fraction, size: Fraction) -> int:
    """Return how many squares of side `size` come from one of side `square`, both in inches."""
    return int(square // size) ** 2
