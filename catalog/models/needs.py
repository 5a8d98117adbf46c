"""What a pattern asks of the bundle, counted against it, and pieces to cut from cloth."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from catalog.models.likeness import MatchBy
from catalog.models.swatches import Value

Role = Literal["feature", "background", "small"]
"""What a need's pieces are for."""
Source = Literal["bundle", "yardage", "left over"]
"""Where a need's pieces come from."""


@dataclass(frozen=True)
class Need:
    """One line of what a pattern asks for."""

    name: str
    role: Role
    piece: str
    """What is cut, in the trade's words."""
    size: Fraction
    """Side of the square that the piece is cut from, inches."""
    count: int
    """Squares (or small pieces) wanted in all."""
    match: int = 1
    """Squares that must match in each set; 1 where none must."""
    family: str | None = None
    value: Value | None = None
    source: Source = "bundle"
    of_square: Fraction = Fraction(0)
    """Side that the squares in hand are said to have, inches; 0 if that isn't known."""
    match_by: MatchBy | None = None
    """What squares of a set share; None for what the rules say."""


@dataclass(frozen=True)
class TallyLine:
    """One need against the bundle."""

    need: Need
    on_hand: int
    """Squares (or pieces) of the bundle that serve it, each counted once."""
    short: int
    left_over: int
    """Squares that could have served it and serve nothing. Small pieces draw on one pool of them:
    a square is counted with the first that it could have served."""
    swatches: tuple[str, ...]
    """Labels of the squares that serve it, each once."""
    note: str = ""
    """What to know or do about it, in plain words."""
    pieces: tuple[int, ...] = ()
    """How many pieces of each of ``swatches`` serve it; they add up to ``on_hand``."""
    sets: tuple[int, ...] = ()
    """Numbers, as matched, of the sets that serve it."""


@dataclass(frozen=True)
class Rest:
    """What is left of a square that was cut into equal pieces."""

    label: str
    pieces: int
    """1 or more, none of which serves anything."""
    size: Fraction
    """Side to which they are cut, inches."""


@dataclass(frozen=True)
class Tally:
    """A pattern counted against a bundle."""

    title: str
    lines: tuple[TallyLine, ...]
    unused: tuple[str, ...]
    """Labels that serve no need."""
    rests: tuple[Rest, ...] = ()
    """What is left of squares that serve one."""

    @property
    def enough(self) -> bool:
        """Whether the bundle covers all that must come from it."""
        return not any(line.short for line in self.lines)


@dataclass(frozen=True)
class Piece:
    """Pieces of one kind to cut from cloth."""

    name: str
    """What it is in the quilt, such as ``post``; no two kinds of one plan share a name."""
    width: Fraction
    """Cut size across the quilt, inches; on a print with a direction, across the print."""
    length: Fraction
    """Cut size up and down the quilt, inches; on a print with a direction, up the print."""
    count: int
    """How many, 1 or more."""

    def __post_init__(self) -> None:
        if self.width <= 0 or self.length <= 0 or self.count < 1:
            msg = f"expected sizes over 0 and a count from 1, got {self}"
            raise ValueError(msg)
