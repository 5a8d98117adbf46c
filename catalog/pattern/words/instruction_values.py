"""What is read from cutting instructions: pieces, what to buy, and what is doubtful."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

CutShape = Literal["square", "rectangle", "strip"]


@dataclass(frozen=True)
class StripsCut:
    """Strips that are cut further, and so are no pieces of the quilt themselves."""

    count: int
    width: Fraction
    """Inches."""
    length: Fraction | None
    """Inches; None where the strip goes across (or along) cloth whose width isn't told."""


@dataclass(frozen=True)
class ReadPiece:
    """Pieces of one kind."""

    cloth: str
    """As the text calls it, in small letters; empty where it names none."""
    shape: CutShape
    count: int
    """In the whole quilt; squares, where they are then cut into triangles."""
    width: Fraction
    """Inches; the first side that is written."""
    length: Fraction | None
    """Inches; of a strip across the cloth the usable width, None where the text tells none."""
    diagonal_cuts: int
    """0, 1 (two triangles from each) or 2 (four)."""
    text: str
    """The words that it was read from."""
    strips: tuple[StripsCut, ...] = ()
    """Strips that it is cut from, where the text says so; several kinds if any may serve."""
    across: bool = False
    """Whether it goes from selvage to selvage."""
    along: bool = False
    """Whether it runs along the whole length of the cloth."""
    label: str = ""
    """The letter that the text gives it."""


@dataclass(frozen=True)
class ReadBuy:
    """Cloth to buy."""

    cloth: str
    yards: Fraction
    """Of all lengths or fat quarters together."""
    text: str
    purpose: str = ""
    """What it is for, where the text says so."""
    fat: bool = False
    """Whether it comes as fat quarters or fat eighths, half the cloth's width wide."""


@dataclass(frozen=True)
class ReadInstructions:
    """All that was read, and what wasn't."""

    pieces: tuple[ReadPiece, ...] = ()
    buys: tuple[ReadBuy, ...] = ()
    unread: tuple[str, ...] = ()
    """Words with sizes or cutting in them that weren't understood."""
    doubts: tuple[str, ...] = ()
    """Sentences that name the words they are about."""
    noted: tuple[tuple[str, str], ...] = ()
    """Words that say something else, and what: sewing, a finished size."""
    usable_width: Fraction | None = None
    """Inches, where the text tells it."""
    metric: bool = False
    """Whether the text measures in centimetres or millimetres."""
