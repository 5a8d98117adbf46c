"""What units of straight pieces share: words, and the patches of equal squares."""

from __future__ import annotations

from fractions import Fraction
from functools import partial
from typing import Final

from catalog.cutting.units.cutting_method import Method, StripYield, UnitPiece
from catalog.cutting.units.sized_unit import SizedUnit
from catalog.cutting.units.steps.cloth_geometry import piece
from catalog.cutting.units.steps.sewing_steps import Step
from catalog.cutting.units.steps.straight_steps import row_steps, strip_steps
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
        title=f"patch of {across} x {across} squares" if unit.startswith("patch") else "",
        steps=partial(_patch_steps, across),
    )


def _patch_steps(across: int, sized: SizedUnit) -> tuple[Step, ...]:
    side = float(sized.cuts[0].width)
    rows = [[piece(side, side, (r + c) % 2) for c in range(across)] for r in range(across)]
    return row_steps(rows, float(sized.seam), "squares")


def set_steps(
    sets: tuple[tuple[int, ...], ...], per_unit: int, sized: SizedUnit
) -> tuple[Step, ...]:
    """Return the steps of strips in sets, whose parts are told, cut across into segments."""
    strip, strips = sized.cuts[0].width, sized.method.strips
    segment = strips.length(strip, sized.finished, sized.seam) if strips else strip
    return strip_steps(sets, float(strip), float(segment), float(sized.seam), per_unit)


def patch_strips(across: int, unit: str) -> Method:
    """Return a patch by strips: sets of them are cut across, and segments sewn together.

    With an even number in a row one set does, every second segment turned round; else sets in both
    orders, one more of the first, and a segment of each makes a unit.
    """
    even = across % 2 == 0
    first = tuple(n % 2 for n in range(across))
    sets = (first,) if even else (first, tuple(1 - n for n in first))
    return Method(
        unit=unit,
        trimmed=False,
        trimming=AS_SEWN,
        at_a_time=1,
        pieces=(
            UnitPiece(
                "strip", across if even else across**2, FINISHED / across + 2 * SEAM, shape="strip"
            ),
        ),
        strips=StripYield(across if even else 1, across**2),
        how=_EVEN_SETS.format(across=across) if even else _odd_sets(across),
        title=f"patch of {across} x {across} squares from strips",
        steps=partial(set_steps, sets, across),
    )


_EVEN_SETS = (
    "Sew {across} strips together by turns, press to the darker, cut across as wide as a strip was "
    "cut, turn every second segment round and sew {across} of them together."
)


def _odd_sets(across: int) -> str:
    many = across // 2
    return (
        f"Sew {many + 1} sets of {across} strips that begin and end dark and {many} that begin and "
        f"end light; cut all across as wide as a strip was cut; {many + 1} segments of the first "
        f"and {many} of the second make a unit."
    )


def squares_from_square(square: Fraction, size: Fraction) -> int:
    """Return how many squares of side `size` come from one of side `square`, both in inches."""
    return int(square // size) ** 2
