"""An order for a pattern made over, as typed, checked and carried out."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from catalog.errors import UsageError

if TYPE_CHECKING:
    from fractions import Fraction

    from catalog.cutting.adapted.adaptation import AdaptedPattern
    from catalog.cutting.yardage.bolt import Bolt

WIDEST_SEAM: Final = 1
"""Inches."""
NARROWEST_CLOTH: Final = 10
"""Inches; fat quarters are wider."""
MOST_SETS: Final = 10_000
_NOTHING: Final = re.compile(r"0+([.,]0*)?( *[a-z]+)?")
MOST_SPARE: Final = 72
"""Inches."""
MOST_SHRINKAGE: Final = 20
"""Percent; flannel loses 10."""


@dataclass(frozen=True)
class RemakeOrder:
    """What the user asks for, as typed."""

    pattern: str
    square: str | None = None
    seam: str | None = None
    measured: str | None = None
    finished: str | None = None
    sets: int | None = None
    shape: str = "as-written"
    width: str = "40 in"
    shrinkage: float = 0.0
    cm: bool = False
    spare: str | None = None


def carry_out(order: RemakeOrder) -> tuple[str, AdaptedPattern]:
    """Return the pattern's title and the pattern made over.

    Raises
    ------
    CalicountError
        What makes no sense, or can't be had.
    """
    from catalog.cutting.adapted.adaptation import adapt_pattern
    from catalog.lengths import parse_length
    from catalog.pattern.patterns import load_pattern
    from cli.counting.count_request import side_of

    square = None if order.square is None else side_of(order.square, cm=order.cm)
    seam = seam_of(order.seam, order.measured, order.square, cm=order.cm)
    cloth = cloth_of(order.width, order.shrinkage, order.spare, cm=order.cm)
    if order.sets is not None and not 1 <= order.sets <= MOST_SETS:
        raise UsageError(f"{order.sets} sets can't be meant", "give --sets 1 or more")
    pattern = load_pattern(order.pattern)
    if pattern.quilt is None:
        raise UsageError(
            f"{order.pattern} only counts squares and doesn't say how the quilt is built",
            "add [block] to it as calicount patterns --show example does",
        )
    return pattern.title, adapt_pattern(
        pattern.quilt,
        square=square,
        seam=seam,
        finished=None if order.finished is None else parse_length(order.finished, cm=order.cm),
        sets=order.sets,
        shape=order.shape,
        cloth=cloth,
        cm=order.cm,
    )


def seam_of(
    seam: str | None, measured: str | None, square: str | None, *, cm: bool = False
) -> Fraction | None:
    """Return the seam really sewn, inches; None for the pattern's."""
    from catalog.cutting.units.sewn_seam import METRIC_STEP, SEAM_STEP, seam_of_unit
    from catalog.cutting.units.units_by_name import find_method
    from catalog.lengths import parse_length
    from cli.counting.count_request import side_of

    if measured is not None:
        if seam is not None or square is None:
            raise UsageError(
                "--measured tells the seam from a unit sewn of squares that you know",
                "give it with --square and without --seam",
            )
        method = find_method("half-square-triangle", 2)
        step = METRIC_STEP if cm else SEAM_STEP
        return seam_of_unit(method, side_of(square, cm=cm), parse_length(measured, cm=cm), step)
    if seam is None:
        return None
    length = parse_length(seam, cm=cm)
    if length > WIDEST_SEAM:
        most = "2.5 cm" if cm else "1 in"
        raise UsageError(f"a seam of {seam} is too wide for patchwork", f"give --seam up to {most}")
    return length


def cloth_of(
    width: str, shrinkage: float = 0.0, spare: str | None = None, *, cm: bool = False
) -> Bolt:
    """Return the cloth that is bought."""
    from fractions import Fraction

    from catalog.cutting.yardage.bolt import Bolt
    from catalog.lengths import parse_length

    usable = parse_length(width, cm=cm)
    if usable < NARROWEST_CLOTH:
        such = "centimetres, such as 110" if cm else "inches, such as 40"
        raise UsageError(f"fabric {width} wide can't be meant", f"give --width in {such}")
    if not (math.isfinite(shrinkage) and 0 <= shrinkage <= MOST_SHRINKAGE):
        raise UsageError(
            f"a shrinkage of {shrinkage:g} percent can't be meant",
            f"give --shrinkage from 0 to {MOST_SHRINKAGE}",
        )
    part = Fraction(str(shrinkage)) / 100
    return Bolt(
        usable,
        shrinkage=part,
        sold_by="10 cm" if cm else "eighth of a yard",
        spare=spare_of(spare, cm=cm),
    )


def spare_of(text: str | None, *, cm: bool = False) -> Fraction | None:
    """Return what is bought of each cloth beyond what is used, inches; None for the usual."""
    from fractions import Fraction

    from catalog.lengths import parse_length

    if text is None:
        return None
    if _NOTHING.fullmatch(text.strip()):
        return Fraction(0)
    spare = parse_length(text, cm=cm)
    if spare > MOST_SPARE:
        most = "1.8 m" if cm else "2 yd"
        raise UsageError(
            f"{text} to spare of each cloth can't be meant", f"give --spare up to {most}, or 0"
        )
    return spare
