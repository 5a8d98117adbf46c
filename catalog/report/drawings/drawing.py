"""What a line drawing is made of; lengths in millimetres from its upper left corner."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

Anchor = Literal["left", "middle", "right"]
"""Which part of a line of words stands at its point."""
WHITE, BLACK = 255, 0


@dataclass(frozen=True)
class DrawnBox:
    """A rectangle, filled and outlined."""

    x: float
    y: float
    wide: float
    high: float
    fill: int | None = None
    """Grey, 0 for black to 255; None where what lies under it shows."""
    line: float = 0.25
    """Width of its outline; 0 for none."""


@dataclass(frozen=True)
class DrawnLine:
    """A straight line."""

    x0: float
    y0: float
    x1: float
    y1: float
    width: float = 0.25
    grey: int = BLACK
    dash: float = 0.0
    """Millimetres of each dash and each gap; 0 for a whole line."""


@dataclass(frozen=True)
class DrawnShape:
    """A convex polygon, filled and outlined."""

    corners: tuple[tuple[float, float], ...]
    fill: int = WHITE
    line: float = 0.25


@dataclass(frozen=True)
class DrawnWords:
    """A line of words."""

    x: float
    y: float
    """Of its base line."""
    text: str
    size: float
    """Points."""
    bold: bool = False
    anchor: Anchor = "left"
    grey: int = BLACK


Mark = DrawnBox | DrawnLine | DrawnShape | DrawnWords


@dataclass(frozen=True)
class Drawing:
    """A drawing, what lies below first."""

    wide: float
    high: float
    marks: tuple[Mark, ...]
    says: str
    """What it shows, in a sentence for who can't see it."""

    def moved(self, x: float, y: float) -> tuple[Mark, ...]:
        """Return its marks shifted to the right and down."""
        return tuple(_moved(mark, x, y) for mark in self.marks)


def _moved(mark: Mark, x: float, y: float) -> Mark:
    if isinstance(mark, DrawnLine):
        return replace(mark, x0=mark.x0 + x, y0=mark.y0 + y, x1=mark.x1 + x, y1=mark.y1 + y)
    if isinstance(mark, DrawnShape):
        return replace(mark, corners=tuple((px + x, py + y) for px, py in mark.corners))
    return replace(mark, x=mark.x + x, y=mark.y + y)


def below_one_another(drawings: tuple[Drawing, ...], gap: float = 8.0) -> Drawing:
    """Return drawings as one, in their order from the top."""
    marks: list[Mark] = []
    y = 0.0
    for one in drawings:
        marks += one.moved(0.0, y)
        y += one.high + gap
    wide = max((one.wide for one in drawings), default=0.0)
    says = " ".join(one.says for one in drawings)
    return Drawing(wide, max(y - gap, 0.0), tuple(marks), says)
