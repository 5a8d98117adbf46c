"""Frozen values of pieces laid on cloth, to be drawn and cut."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from catalog.phrases import count_of

_SIZED: Final = re.compile(r"(.+ in) (\w+)")


def counted(number: int, what: str) -> str:
    """Say how many: ``3 fat quarters``, and of what is called by its size ``3 squares of 5 in``."""
    sized = _SIZED.fullmatch(what)
    if sized is None:
        return count_of(number, what)
    return f"{count_of(number, sized[2])} of {sized[1]}"


@dataclass(frozen=True)
class LaidPiece:
    """One piece where it lies; inches from the upper left corner of its sheet."""

    piece: str
    """Name of its kind."""
    x: Fraction
    y: Fraction
    width: Fraction
    """Across the sheet."""
    length: Fraction
    """Down the sheet."""


@dataclass(frozen=True)
class LaidCut:
    """One straight cut from edge to edge of what is cut; inches as for pieces."""

    order: int
    """From 1; cuts of one number may be made in any order."""
    x0: Fraction
    y0: Fraction
    x1: Fraction
    y1: Fraction


@dataclass(frozen=True)
class Sheet:
    """Cloth that is cut up alike: strips across the width of fabric, or precuts."""

    what: str
    """Such as ``strip`` or ``fat quarter``."""
    width: Fraction
    """Inches."""
    length: Fraction
    copies: int
    """How many are cut up so."""
    pieces: tuple[LaidPiece, ...]
    cuts: tuple[LaidCut, ...] = ()
    """In their order; none for strips, which are crosscut from one end."""
    layers: int = 1
    """How many may lie on one another under the cutter (see `stacking`)."""

    @property
    def says(self) -> str:
        """How many of what."""
        return counted(self.copies, self.what)

    @property
    def area(self) -> Fraction:
        """Of all copies, square inches."""
        return self.width * self.length * self.copies

    @property
    def used(self) -> Fraction:
        """What all copies give to pieces, square inches."""
        return self.copies * sum((one.width * one.length for one in self.pieces), Fraction(0))


@dataclass(frozen=True)
class ClothLayout:
    """All that is cut from one cloth, in the order of cutting: large before small."""

    cloth: str
    """Its name."""
    amount: str
    """What is to be had of it, in words: ``1/2 yd`` or ``3 fat quarters``."""
    sheets: tuple[Sheet, ...]
    directional: bool = False
    """Whether the print has an up and a down, which is down the sheets as drawn."""
    notes: tuple[str, ...] = ()
    """What is done with pieces before they are whole, such as strips sewn end to end."""

    @property
    def waste(self) -> Fraction:
        """Part of the cloth cut up that no piece takes, from 0 to 1."""
        area = sum((one.area for one in self.sheets), Fraction(0))
        return 1 - sum((one.used for one in self.sheets), Fraction(0)) / area if area else area

    @property
    def kinds(self) -> tuple[LaidPiece, ...]:
        """One piece of each kind and size, in the order of cutting."""
        found: dict[tuple[str, Fraction, Fraction], LaidPiece] = {}
        for sheet in self.sheets:
            for one in sheet.pieces:
                short, long = sorted((one.width, one.length))
                found.setdefault((one.piece, short, long), one)
        return tuple(found.values())

    def count_of(self, kind: LaidPiece) -> int:
        """Return how many pieces are like this one, either way round."""
        sides = sorted((kind.width, kind.length))
        return sum(
            sheet.copies
            for sheet in self.sheets
            for one in sheet.pieces
            if one.piece == kind.piece and sorted((one.width, one.length)) == sides
        )
