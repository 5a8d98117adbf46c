"""Squares, rectangles, and patches of equal squares, cut as squares or from strips."""

from __future__ import annotations

from fractions import Fraction

from catalog.cutting.units.cutting_method import Method, StripYield, UnitPiece
from catalog.cutting.units.surd import Surd
from catalog.cutting.units.unit_sizes import FINISHED, SEAM, UNFINISHED

_AS_SEWN = (
    "Don't trim it: the outer squares would shrink, and their seams no longer meet the next unit's."
)


def square() -> Method:
    """Return a plain square: its finished side and a seam at either side."""
    return Method(
        unit="square",
        trimmed=False,
        at_a_time=1,
        pieces=(UnitPiece("square", 1, UNFINISHED),),
        how="Cut it and sew it in.",
    )


def rectangle(aspect: Fraction, units: int = 1) -> Method:
    """Return a plain rectangle: its finished sides and a seam at either side.

    Parameters
    ----------
    aspect : Fraction
        Finished height over finished width, more than 0 and at most 1: the long side is the
        width.
    units : int
        Rectangles cut from one square of their width.

    Raises
    ------
    ValueError
        `aspect` is out of its range.
    """
    if not 0 < aspect <= 1:
        msg = f"expected an aspect more than 0 and at most 1, got {aspect}"
        raise ValueError(msg)
    return Method(
        unit="rectangle",
        trimmed=False,
        at_a_time=units,
        units=units,
        aspect=aspect,
        face=Surd(aspect),
        pieces=(
            UnitPiece(
                "rectangle", units, UNFINISHED, FINISHED * aspect + 2 * SEAM, shape="rectangle"
            ),
        ),
        how="Cut it and sew it in.",
    )


def four_patch() -> Method:
    """Two rows of two squares: each finishes at half the side and has a seam all round."""
    return patch(2, "four-patch")


def nine_patch() -> Method:
    """Three rows of three squares: each finishes at a third of the side, a seam all round."""
    return patch(3, "nine-patch")


def patch(across: int, unit: str = "patch") -> Method:
    """Rows of equal squares, as many as there are in a row.

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
        trimming=_AS_SEWN,
        at_a_time=1,
        pieces=(UnitPiece("square", across**2, FINISHED / across + 2 * SEAM),),
        how=f"Sew {across} rows of {across} squares, press them opposite ways, and sew the rows "
        "together.",
    )


def four_patch_strips() -> Method:
    """Two strips sewn together, cut across as wide as a strip; two segments make a unit."""
    return Method(
        unit="four-patch-strips",
        trimmed=False,
        trimming=_AS_SEWN,
        at_a_time=1,
        pieces=(UnitPiece("strip", 2, FINISHED / 2 + 2 * SEAM, shape="strip"),),
        strips=StripYield(2, 4),
        how="Sew two strips together, press to the darker, cut across as wide as a strip was cut, "
        "turn every second segment round and sew them in pairs.",
    )


def nine_patch_strips() -> Method:
    """Two sets of three strips in one order and one in the other; a segment of each for a unit."""
    return Method(
        unit="nine-patch-strips",
        trimmed=False,
        trimming=_AS_SEWN,
        at_a_time=1,
        pieces=(UnitPiece("strip", 9, FINISHED / 3 + 2 * SEAM, shape="strip"),),
        strips=StripYield(1, 9),
        how="Sew two sets of strips dark, light, dark and one light, dark, light; cut all across "
        "as wide as a strip was cut; two segments of the first and one of the second make a unit.",
    )


def quartered_nine_patch() -> Method:
    """A nine patch cut in quarters, which are turned and sewn together again.

    A nine patch of squares c measures 3 (c - 2 seam) + 2 seam; a quarter half of that, and
    finishes 2 seams smaller; two of them make the unit: finished 3c - 8 seam.
    """
    return Method(
        unit="quartered-nine-patch",
        trimmed=False,
        trimming=_AS_SEWN,
        at_a_time=1,
        pieces=(UnitPiece("square", 9, (FINISHED + 8 * SEAM) / 3),),
        how="Sew a nine patch, cut it in half both ways, turn two opposite quarters round and sew "
        "the four together.",
    )


def squares_from_square(square: Fraction, size: Fraction) -> int:
    """Return how many squares of side `size` come from one of side `square`, both in inches."""
    return int(square // size) ** 2
