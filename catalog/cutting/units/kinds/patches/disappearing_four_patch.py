"""A four patch cut in nine beside its seams, whose middle pieces are turned."""

from __future__ import annotations

from fractions import Fraction

from catalog.cutting.units.cutting_method import Method, UnitPiece
from catalog.cutting.units.face_shapes import Polygon, box
from catalog.cutting.units.sized_unit import SizedUnit
from catalog.cutting.units.steps.cloth_geometry import joined_up, piece
from catalog.cutting.units.steps.ninth_steps import cut_in_nine
from catalog.cutting.units.steps.sewing_steps import Step
from catalog.cutting.units.steps.straight_steps import row_steps
from catalog.cutting.units.unit_kind import UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import FINISHED, SEAM

NAME = "disappearing-four-patch"
_QUARTER = Fraction(1, 4)


def _steps(sized: SizedUnit) -> tuple[Step, ...]:
    side, seam = float(sized.cuts[0].width), float(sized.seam)
    rows = [[piece(side, side, (r + c) % 2) for c in range(2)] for r in range(2)]
    whole = joined_up([joined_up(row, seam) for row in rows], seam, down=True)
    away = float(sized.finished) / 8 + seam
    cut = cut_in_nine(whole, away, seam, turned=(1, 3, 5, 7), says="Turn the middle piece of each "
                      "side half round.")  # fmt: skip
    return (*row_steps(rows, seam, "squares"), *cut)


# A four patch of squares c measures 2c - 2 seam; two cuts each way and the seams that close them
# take 4 seams more of it: finished 2c - 8 seam. The cuts lie as far from its seams as makes the
# middle finish at a quarter of the side: (side / 4 + 2 seam) / 2.
_METHOD = Method(
    unit=NAME,
    at_a_time=1,
    trimmed=False,
    trimming="Don't trim it: the corners would shrink, and their seams no longer meet the next "
    "unit's.",
    pieces=(UnitPiece("square", 4, (FINISHED + 8 * SEAM) / 2),),
    how="Sew a four patch and press its seams open. Cut it twice each way, an eighth of the "
    "finished size and a seam from its seams on either side; turn the middle piece of each side "
    "half round and sew the nine together again.",
    caution="Don't move the pieces until all four cuts are made.",
    steps=_steps,
)
_LOW, _HALF, _HIGH = Fraction(3, 8), Fraction(1, 2), Fraction(5, 8)


def _kind(odd: int) -> tuple[Polygon, ...]:
    """Return what shows of upper left and lower right squares, or of the others."""
    left, right = (box(0, 0, _LOW, _LOW), box(_HIGH, _HIGH, 1, 1)) if not odd else (
        box(_HIGH, 0, 1, _LOW), box(0, _HIGH, _LOW, 1))  # fmt: skip
    top = box(_HALF, 0, _HIGH, _LOW) if not odd else box(_LOW, 0, _HALF, _LOW)
    bottom = box(_LOW, _HIGH, _HALF, 1) if not odd else box(_HALF, _HIGH, _HIGH, 1)
    side = box(0, _HALF, _LOW, _HIGH) if not odd else box(0, _LOW, _LOW, _HALF)
    other = box(_HIGH, _LOW, 1, _HALF) if not odd else box(_HIGH, _HALF, 1, _HIGH)
    middle = (
        (box(_LOW, _LOW, _HALF, _HALF), box(_HALF, _HALF, _HIGH, _HIGH))
        if not odd
        else (box(_HALF, _LOW, _HIGH, _HALF), box(_LOW, _HALF, _HALF, _HIGH))
    )
    return (left, right, top, bottom, side, other, *middle)


DISAPPEARING_FOUR_PATCH = UnitKind(
    NAME,
    (_METHOD,),
    (UnitPart(_kind(0), "upper left and lower right"), UnitPart(_kind(1), "the other corners")),
)
