"""The size of a quilt that a bed asks for."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from catalog.cutting.quilt_sizes.standard_sizes import UsualSize
from catalog.errors import UsageError
from catalog.length_text import parse_length
from catalog.lengths import CENTIMETRES_PER_INCH

BED: Final = "your bed"
USUAL_DROP: Final = Fraction(12)
"""Inches that a quilt hangs down at the sides and at the foot: rows SZ001 to SZ004 of
``tests/trade_checks/yardage.csv``."""
USUAL_DROP_CM: Final = 30 / CENTIMETRES_PER_INCH
"""The same where centimetres are typed (`common practice`)."""
_UNIT: Final = re.compile("[a-z]+$")


@dataclass(frozen=True)
class Mattress:
    """A mattress as it is sold in a country."""

    name: str
    """Such as ``queen-us``."""
    width: Fraction
    """Inches."""
    length: Fraction
    """Inches."""
    source: str


def _inches(name: str, width: int, length: int, source: str) -> Mattress:
    return Mattress(name, Fraction(width), Fraction(length), source)


def _centimetres(name: str, width: int, length: int, source: str) -> Mattress:
    wide, long = (Fraction(side) / CENTIMETRES_PER_INCH for side in (width, length))
    return Mattress(name, wide, long, source)


_US: Final = (
    "http://www.honeybegood.com/blogs/resources/12653533-common-quilt-and-batting-sizes; "
    "rows SZ031 to SZ035"
)
_UK: Final = "http://www.knightlinen.com/page8.html"
_EU: Final = "https://www.thewoolcompany.co.uk/pages/bedding-size-guide"
_AU: Final = "https://layeredcreations.com.au/faq/what-are-the-standard-measurements-for-australian-bed-quilts/"
_JP: Final = "http://www.liquisearch.com/bed_size/table_of_common_sizes"

MATTRESSES: Final = (
    _inches("crib-us", 28, 52, _US),
    _inches("twin-us", 39, 75, _US),
    _inches("twin-xl-us", 39, 80, _US),
    _inches("full-us", 54, 75, _US),
    _inches("queen-us", 60, 80, _US),
    _inches("king-us", 76, 80, _US),
    _inches("california-king-us", 72, 84, _US),
    _centimetres("single-uk", 90, 190, _UK),
    _centimetres("double-uk", 135, 190, _UK),
    _centimetres("king-uk", 150, 200, _UK),
    _centimetres("super-king-uk", 183, 200, _UK),
    _centimetres("single-eu", 90, 200, _EU),
    _centimetres("double-eu", 140, 200, _EU),
    _centimetres("queen-eu", 160, 200, _EU),
    _centimetres("king-eu", 180, 200, _EU),
    _centimetres("cot-au", 69, 130, _AU),
    _centimetres("single-au", 92, 190, _AU),
    _centimetres("king-single-au", 107, 203, _AU),
    _centimetres("double-au", 137, 190, _AU),
    _centimetres("queen-au", 153, 203, _AU),
    _centimetres("king-au", 183, 203, _AU),
    _centimetres("single-jp", 97, 195, _JP),
    _centimetres("double-jp", 140, 195, _JP),
    _centimetres("queen-jp", 170, 195, _JP),
    _centimetres("king-jp", 194, 195, _JP),
)
"""There is no standard across countries, and within one they differ by an inch or two: measure the
mattress where it matters."""


def bed_size(mattress: Mattress, drop: Fraction, tuck: Fraction = Fraction(0)) -> UsualSize:
    """Return the size of a quilt for a bed.

    The drop hangs at both sides and at the foot; the tuck goes round the pillows at the head.

    Parameters
    ----------
    mattress : Mattress
    drop, tuck : Fraction
        Inches, 0 or more.
    """
    if min(drop, tuck) < 0:
        raise UsageError("a drop or a tuck is below 0", "write lengths of 0 or more")
    wide, long = mattress.width + 2 * drop, mattress.length + drop + tuck
    return UsualSize(BED, wide, long, mattress.source)


def mattress_of(text: str, *, cm: bool = False) -> Mattress:
    """Return a mattress by its name, such as ``queen-us``, or its size, such as ``60x80``.

    Raises
    ------
    UsageError
        Neither; it tells the names.
    """
    name = "-".join(text.casefold().replace("-", " ").split())
    known = next((one for one in MATTRESSES if one.name == name), None)
    if known:
        return known
    sides = [part.strip() for part in re.split(r"\s*[x\u00d7]\s*|\s+by\s+", text.casefold())]
    if len(sides) != 2 or not all(any(map(str.isdigit, side)) for side in sides):
        names = ", ".join(one.name for one in MATTRESSES)
        raise UsageError(
            f'"{text[:40]}" is no mattress', f'write its size, such as "60x80", or one of {names}'
        )
    unit = _UNIT.search(sides[1])
    if unit and not _UNIT.search(sides[0]):
        sides[0] += f" {unit[0]}"
    wide, long = (parse_length(side, cm=cm) for side in sides)
    return Mattress(f"{text[:40]}", wide, long, "as typed")
