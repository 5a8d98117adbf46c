"""The sizes that quilts usually have, and the size that a bed asks for."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from catalog.errors import UsageError
from catalog.lengths import CENTIMETRES_PER_INCH


@dataclass(frozen=True)
class UsualSize:
    """A size that a published list gives for a kind of quilt."""

    name: str
    width: Fraction
    """Inches."""
    length: Fraction
    """Inches."""
    source: str
    """Row of ``tests/trade_checks/yardage.csv``, an address, or ``common practice``."""


USUAL_SIZES: Final = tuple(
    UsualSize(name, Fraction(width), Fraction(length), source)
    for name, width, length, source in (
        ("baby", 30, 40, "SZ018"),
        ("crib", 36, 52, "SZ019"),
        ("crib", 36, 60, "SZ007"),
        ("crib", 39, 54, "SZ013"),
        ("lap", 50, 60, "SZ027"),
        ("throw", 50, 60, "SZ008"),
        ("throw", 50, 65, "SZ020"),
        ("twin", 65, 88, "SZ014"),
        ("twin", 68, 86, "SZ025"),
        ("twin", 70, 90, "SZ009"),
        ("twin", 70, 90, "SZ021"),
        ("full", 80, 88, "SZ015"),
        ("full", 85, 108, "SZ022"),
        ("full", 86, 90, "SZ010"),
        ("queen", 86, 93, "SZ016"),
        ("queen", 90, 90, "SZ026"),
        ("queen", 90, 95, "SZ011"),
        ("queen", 90, 108, "SZ023"),
        ("king", 104, 93, "SZ017"),
        ("king", 108, 95, "SZ012"),
        ("king", 110, 108, "SZ024"),
        ("runner", 14, 36, "common practice"),
        ("runner", 14, 54, "common practice"),
        ("runner", 16, 72, "common practice"),
    )
)
"""There is no standard: lists differ, so all are kept, and a quilt is near a kind if it is near one
of its sizes. Bed covers called otherwise (comforter, bedspread) are left out."""

_AUSTRALIAN: Final = "https://layeredcreations.com.au/faq/what-are-the-standard-measurements-for-australian-bed-quilts/"
OTHER_SIZES: Final = (
    UsualSize("wall", Fraction(36), Fraction(36), "https://niftyfiftyquilting.com/quilt-sizes"),
    UsualSize("bag-panel", Fraction(14), Fraction(16), "common practice"),
    *(
        UsualSize(
            name,
            Fraction(width) / CENTIMETRES_PER_INCH,
            Fraction(length) / CENTIMETRES_PER_INCH,
            _AUSTRALIAN,
        )
        for name, width, length in (
            ("cot", 93, 142),
            ("single-au", 116, 202),
            ("king-single-au", 131, 215),
            ("double-au", 161, 202),
            ("queen-au", 177, 215),
            ("king-au", 207, 215),
        )
    ),
)
"""Sizes that are made when they are asked for, and that no quilt is compared with unasked: small
things, and quilts of a country whose beds have other names."""

NAMES: Final = tuple(dict.fromkeys(size.name for size in USUAL_SIZES))
"""From the smallest quilt to the largest, then the runner."""
ALL_NAMES: Final = (*NAMES, *dict.fromkeys(size.name for size in OTHER_SIZES))
"""Those and the ones that have to be asked for."""


def usual_sizes(name: str) -> tuple[UsualSize, ...]:
    """Return the published sizes of a kind of quilt.

    Raises
    ------
    UsageError
        An unknown name; it tells the known ones.
    """
    known = (*USUAL_SIZES, *OTHER_SIZES)
    found = tuple(size for size in known if size.name == name.strip().lower())
    if not found:
        raise UsageError(f'"{name}" is no usual quilt size', f"use one of {', '.join(ALL_NAMES)}")
    return found
