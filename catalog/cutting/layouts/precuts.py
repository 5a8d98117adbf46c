"""Cloth as it is sold ready cut: by the trade's plain words, with sizes and usual counts."""

from __future__ import annotations

import re
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from typing import Final, Literal, get_args

from catalog.cutting.layouts.cloth_layout import counted
from catalog.cutting.yardage.bolt import Bolt
from catalog.errors import UsageError
from catalog.lengths import CENTIMETRES_PER_INCH

Pinked = Literal["valleys", "tips"]
"""Where a pinked edge was measured: in the valleys between its teeth, or at their tips."""
PINKED: Final[tuple[str, ...]] = get_args(Pinked)
PINKING: Final = Fraction(1, 4)
"""Inches by which a precut is smaller from valley to valley where its size is told from tip to tip:
the deepest that a magazine's test of four makers found (row PC018 of
``tests/trade_checks/yardage.csv``); others had almost none, so measure one of yours."""

_SIDES: Final = {"whole": Fraction(1), "half": Fraction(1, 2)}
_CM: Final = 1 / CENTIMETRES_PER_INCH


@dataclass(frozen=True)
class Precut:
    """One kind of precut."""

    name: str
    """Singular, such as ``fat quarter``."""
    length: Fraction
    """Inches; of strips and long cuts their height along the cloth, nominal."""
    side: Fraction | None
    """Inches across; None where it goes over the width of the cloth or half of it."""
    across: Fraction = Fraction(1)
    """Part of the cloth's width that it goes over."""
    usual_count: int = 1
    """Pieces in a usual pack; 1 where they are sold singly."""
    metric_length: Fraction | None = None
    """Inches, where shops that measure in centimetres cut another length."""
    pinked: bool = False
    """Whether makers pink its edges, as most do of packs smaller than a fat quarter."""

    @property
    def plural(self) -> str:
        """Its name for several."""
        return f"{self.name}s"

    def sides(self, cloth: Bolt, pinked: Pinked = "valleys") -> tuple[Fraction, Fraction]:
        """Return the width and length of cloth that can be counted on, inches.

        Of fat quarters and long cuts the width is that of the bolt that they were cut from: half
        of 40 in unless another is told, where shops print 20, 21 and 22.
        """
        less = PINKING if self.pinked and pinked == "tips" else Fraction(0)
        long = self.metric_length if cloth.metric and self.metric_length else self.length
        if self.side is not None:
            return self.side - less, long - less
        return cloth.width * self.across, (long - less) * (1 - cloth.shrinkage)

    @property
    def is_square(self) -> bool:
        """Whether it is a square."""
        return self.side == self.length

    def sides_in_pack(self, pinked: Pinked) -> Fraction:
        """Return the side of a square that can be counted on, inches."""
        return self.length - (PINKING if pinked == "tips" else 0)

    def says(self, number: int) -> str:
        """Return so many of them in words."""
        return counted(number, self.name)


def _square(side: Fraction, count: int) -> Precut:
    text = "2 1/2" if side == Fraction(5, 2) else str(side)
    return Precut(f"{text} in square", side, side, usual_count=count, pinked=True)


def _strip(height: Fraction, count: int) -> Precut:
    whole, part = divmod(height, 1)
    return Precut(f"{whole} {part} in strip", height, None, usual_count=count, pinked=True)


PRECUTS: Final = (
    _square(Fraction(5, 2), 42),
    _square(Fraction(5), 42),
    _square(Fraction(10), 42),
    _strip(Fraction(5, 2), 40),
    _strip(Fraction(3, 2), 40),
    Precut("fat quarter", Fraction(18), None, Fraction(1, 2), metric_length=50 * _CM),
    Precut("fat eighth", Fraction(9), None, Fraction(1, 2), metric_length=25 * _CM),
    Precut("long quarter", Fraction(9), None, metric_length=25 * _CM),
    Precut("long eighth", Fraction(9, 2), None, metric_length=Fraction(25, 2) * _CM),
)
"""Counts: 42 of 2 1/2 and 5 in squares (https://quiltnotes.com/learning-center/precut-fabric/), 42
of 10 in squares (row PC003 of ``tests/trade_checks/yardage.csv``), about 40 of 2 1/2 in strips (the
same page; PC004 and PC005 print 42 and 40 to 44: the fewest is followed, so that none runs short);
1 1/2 in strips: `common practice`. Sizes: rows PC001 to PC013. A long quarter is a quarter of a
yard cut straight across, 9 in high (row YD112), a long eighth 4 1/2 (YD113). Metric: fat
quarters of 50 x 55 cm, `common practice`."""

_INCHES: Final = re.compile(r"\s*(?:inch(?:es)?|in\b\.?|\")\s*", re.IGNORECASE)
_CENTIMETRES: Final = re.compile(r"(\d{1,3}(?:[.,]\d)?)\s*cm\s*")
_COUNTED: Final = re.compile(r"\s*(\d{1,5})\s+(?!\d+/)(.+)")
_MINI: Final = re.compile(r"\bminis?\b(?!\s+\d)", re.IGNORECASE)


def _in_inches(found: re.Match[str]) -> str:
    """Return centimetres as the inches that a precut is called by."""
    inches = Fraction(found[1].replace(",", ".")) / CENTIMETRES_PER_INCH
    half = round(inches * 2)
    return f"{half // 2}{' 1/2' if half % 2 else ''} in "


def find_precut(text: str) -> Precut:
    """Return a precut by its name as people write it: ``Fat Quarters``, ``5" squares``.

    Raises
    ------
    UsageError
        No such precut; the message lists those there are.
    """
    key = _plain(text)
    by_name = {_plain(one.name): one for one in PRECUTS}
    if key in by_name:
        return by_name[key]
    names = ", ".join(one.plural for one in PRECUTS)
    near = get_close_matches(key, by_name, 1, 0.75)
    cure = f"write {by_name[near[0]].plural}, or one of {names}" if near else f"use one of {names}"
    raise UsageError(f'"{text[:60]}" is no precut that is sold everywhere', cure)


def _plain(text: str) -> str:
    """Write a name without the ways in which people differ."""
    text = _CENTIMETRES.sub(_in_inches, text.casefold())
    text = _INCHES.sub(" in ", text.replace("\u00bd", " 1/2"))
    text = _MINI.sub("2 1/2 in", text)
    words = " ".join(text.replace("-", " ").split())
    words = (
        re.sub(r"^(?:mini )", "", words).replace("2.5 in", "2 1/2 in").replace("1.5 in", "1 1/2 in")
    )
    return words.rstrip("s") if words.endswith("s") else words


@dataclass(frozen=True)
class PrecutsInHand:
    """Precuts that a person has, or has in mind."""

    precut: Precut
    number: int
    cloth: str = ""
    """For which cloth of the pattern; empty for whichever they serve."""


def read_in_hand(text: str) -> PrecutsInHand:
    """Read ``6 fat quarters``, or ``6 fat quarters for background``.

    Raises
    ------
    UsageError
        No number, or no such precut.
    """
    what, _, cloth = (part.strip() for part in text.partition(" for "))
    found = _COUNTED.fullmatch(what)
    if found is None or not int(found[1]):
        raise UsageError(
            f'"{text[:60]}" doesn\'t say how many', 'write it like "6 fat quarters for background"'
        )
    return PrecutsInHand(find_precut(found[2]), int(found[1]), cloth)
