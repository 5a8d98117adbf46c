"""A plain rectangle."""

from __future__ import annotations

from fractions import Fraction

from catalog.cutting.units.cutting_method import Method, UnitPiece
from catalog.cutting.units.face_shapes import WHOLE
from catalog.cutting.units.steps.straight_steps import cut_out
from catalog.cutting.units.surd import Surd
from catalog.cutting.units.unit_kind import UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import FINISHED, SEAM, UNFINISHED

NAME = "rectangle"
_NAMES = ("sashing-strip", "plain-sashing")


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
        unit=NAME,
        trimmed=False,
        at_a_time=units,
        units=units,
        aspect=aspect,
        face=Surd(aspect),
        pieces=(
            UnitPiece(
                "rectangle",
                units,
                UNFINISHED,
                FINISHED * aspect + 2 * SEAM,
                shape="rectangle",
                of_one_square=True,
            ),
        ),
        how="Cut it and sew it in.",
        steps=cut_out,
    )


def _in_shape(aspect: Fraction) -> UnitKind:
    return UnitKind(NAME, (rectangle(aspect),), (UnitPart((WHOLE,)),), _NAMES, _in_shape)


RECTANGLE = _in_shape(Fraction(1, 2))
