"""Seam and cloth as they are typed, checked; the same for every command that plans."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import TYPE_CHECKING, Final

from catalog import rule_limits
from catalog.errors import UsageError
from catalog.length_text import parse_length

if TYPE_CHECKING:
    from catalog.cutting.yardage.bolt import Bolt

MAX_SEAM: Final = Fraction(rule_limits.SEAM.most)
"""Inches."""
MIN_CLOTH_WIDTH: Final = 10
"""Inches; fat quarters are wider."""
MAX_SPARE: Final = 72
"""Inches."""
MAX_SHRINKAGE: Final = 20
"""Percent; flannel loses 10."""
_NOTHING: Final = re.compile(r"0+([.,]0*)?( *[a-z]+)?")


def seam_of(text: str | None, *, cm: bool = False) -> Fraction | None:
    """Return the seam really sewn, inches; None for the pattern's."""
    if text is None:
        return None
    length = parse_length(text, cm=cm)
    if length > MAX_SEAM:
        most = "2.5 cm" if cm else "1 in"
        raise UsageError(f"a seam of {text} is too wide for patchwork", f"give --seam up to {most}")
    return length


def refuse_measured_alone(measured: str | None, seam: str | None, square: object) -> None:
    """Refuse a measured unit without its square, or beside a seam that is told.

    Raises
    ------
    UsageError
    """
    if measured is not None and (seam is not None or square is None):
        raise UsageError(
            "--measured tells the seam from a unit sewn of squares that you know",
            "give it with --square and without --seam",
        )


def cloth_of(
    width: str, shrinkage: float = 0.0, spare: str | None = None, *, cm: bool = False
) -> Bolt:
    """Return the cloth that is bought."""
    from catalog.cutting.yardage.bolt import Bolt

    usable = parse_length(width, cm=cm)
    if usable < MIN_CLOTH_WIDTH:
        such = "centimetres, such as 110" if cm else "inches, such as 40"
        raise UsageError(f"fabric {width} wide can't be meant", f"give --width in {such}")
    if not (math.isfinite(shrinkage) and 0 <= shrinkage <= MAX_SHRINKAGE):
        raise UsageError(
            f"a shrinkage of {shrinkage:g} percent can't be meant",
            f"give --shrinkage from 0 to {MAX_SHRINKAGE}",
        )
    return Bolt(
        usable,
        shrinkage=Fraction(str(shrinkage)) / 100,
        sold_by="10 cm" if cm else "eighth of a yard",
        spare=_spare_of(spare, cm=cm),
    )


def length_or_none(text: str | None, *, cm: bool) -> Fraction | None:
    """Return a length of 0 or more, inches; None where none is typed."""
    if text is None:
        return None
    return Fraction(0) if _NOTHING.fullmatch(text.strip()) else parse_length(text, cm=cm)


def _spare_of(text: str | None, *, cm: bool) -> Fraction | None:
    """Return what is bought of each cloth beyond what is used, inches; None for the usual."""
    if text is None:
        return None
    if _NOTHING.fullmatch(text.strip()):
        return Fraction(0)
    spare = parse_length(text, cm=cm)
    if spare > MAX_SPARE:
        most = "1.8 m" if cm else "2 yd"
        raise UsageError(
            f"{text} to spare of each cloth can't be meant", f"give --spare up to {most}, or 0"
        )
    return spare
