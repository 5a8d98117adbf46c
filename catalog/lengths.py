"""Exact lengths in inches, and how they are shown on the marks of a ruler."""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from decimal import Decimal
from fractions import Fraction
from typing import Final, Literal

Rounding = Literal["nearest", "up", "down"]
"""Which mark of the ruler a length between two marks goes to; ``nearest`` sends a tie up."""
EIGHTH: Final = Fraction(1, 8)
SIXTEENTH: Final = Fraction(1, 16)
SIXTY_FOURTH: Final = Fraction(1, 64)
CENTIMETRES_PER_INCH: Final = Fraction(254, 100)
"""Exact by definition: 1 yd = 0.9144 m, the international yard of 1959 (NIST SP 811, B.6)."""
MILLIMETRE: Final = 1 / (10 * CENTIMETRES_PER_INCH)
"""Inches; the mark of a centimetre ruler."""
_CENTIMETRES: Final = ContextVar("centimetres", default=False)
_MAX_DECIMALS: Final = 5
"""Decimals of a centimetre; a 32nd of an inch has no more."""
_FRACTION_SIGN = {Fraction(unicodedata.numeric(c)).limit_denominator(10): c for c in "½⅓⅔¼¾⅛⅜⅝⅞"}


@contextmanager
def centimetres_shown(wanted: bool = True) -> Iterator[None]:
    """Let every sentence made meanwhile show its lengths in centimetres.

    The sentences about strips, backing and quilts are made deep in the library; this spares each of
    their makers a flag. It holds for this thread or task alone.
    """
    before = _CENTIMETRES.set(wanted)
    try:
        yield
    finally:
        _CENTIMETRES.reset(before)


def unit_shown() -> str:
    """The unit that `show_length` writes now, ``in`` or ``cm``."""
    return "cm" if _CENTIMETRES.get() else "in"


def show_length(
    length: Fraction,
    *,
    step: Fraction | None = EIGHTH,
    rounding: Rounding = "nearest",
    unicode: bool = False,
    mark: bool = True,
) -> str:
    """Write inches with the fractions of a ruler, as ``4 7/8 in``.

    Within `centimetres_shown` the same length is written as `show_centimetres` does, exact where
    it can be: marks of an inch ruler mean nothing there.

    Parameters
    ----------
    length : Fraction
        Inches; a difference may be negative.
    step : Fraction, optional
        The ruler's marks, inches; None writes the exact value whatever its denominator.
    rounding : {"nearest", "up", "down"}
        What becomes of a length between two marks.
    unicode : bool
        Write ``4⅞`` where there is such a sign.
    mark : bool
        Write the unit.

    Returns
    -------
    str
        ``parse_length`` reads a positive one back; equal to `length` if that lies on a mark.
    """
    if _CENTIMETRES.get():
        return show_centimetres(length, places=None, rounding=rounding, mark=mark)
    shown = length if step is None else round_to(length, step, rounding)
    sign, size = ("-" if shown < 0 else ""), abs(shown)
    whole, part = divmod(size, 1)
    if not part:
        text = str(whole)
    elif unicode and part in _FRACTION_SIGN:
        text = f"{whole or ''}{_FRACTION_SIGN[part]}"
    else:
        text = f"{whole} {part}" if whole else str(part)
    return f"{sign}{text}{' in' if mark else ''}"


def show_centimetres(
    length: Fraction, *, places: int | None = 1, rounding: Rounding = "nearest", mark: bool = True
) -> str:
    """Write inches as centimetres, as ``12.4 cm``.

    Parameters
    ----------
    length : Fraction
        Inches.
    places : int, optional
        Decimals; the default shows millimetres. None writes the exact value with as many as it
        has, one at least, and millimetres where it has more than five.
    rounding : {"nearest", "up", "down"}
        What becomes of a length between two steps.
    mark : bool
        Write the unit.

    Returns
    -------
    str
        Always with a point, so that no console or spreadsheet setting changes it.
    """
    places = _exact_places(length * CENTIMETRES_PER_INCH) if places is None else places
    shown = round_to(length * CENTIMETRES_PER_INCH, Fraction(1, 10**places), rounding)
    text = f"{Decimal(int(shown * 10**places)).scaleb(-places):f}"
    return f"{text} cm" if mark else text


def _exact_places(number: Fraction) -> int:
    places = range(1, _MAX_DECIMALS + 1)
    return next((n for n in places if 10**n % number.denominator == 0), 1)


def round_to(length: Fraction, step: Fraction, rounding: Rounding = "nearest") -> Fraction:
    """Move a length to a multiple of `step`, both in the same unit.

    Parameters
    ----------
    length, step : Fraction
        `step` is more than 0.
    rounding : {"nearest", "up", "down"}
        ``up`` never gives less than `length`, ``down`` never more; a tie goes up.

    Returns
    -------
    Fraction
        The multiple.
    """
    steps = length / step
    if rounding == "up":
        return math.ceil(steps) * step
    if rounding == "down":
        return math.floor(steps) * step
    return math.floor(steps + Fraction(1, 2)) * step
