"""The rows of a quilt, its blocks by place, with arrows that tell how seams are pressed."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from catalog.cutting.plans import WallBlock
from catalog.report.booklet.booklet_contents import Booklet
from catalog.report.booklet.step_drawing import arrow_head
from catalog.report.drawings.drawing import (
    WHITE,
    Drawing,
    DrawnBox,
    DrawnLine,
    DrawnShape,
    DrawnWords,
    Mark,
)

SASHING_GREY: Final = 225
BORDER_GREYS: Final = (240, 215)
"""By turns from the inside."""
ARROW: Final = 5.0
"""Millimetres that an arrow is long."""
EDGE_WORDS: Final = 6.0
"""Points of what is written in a block."""


def rows_drawing(booklet: Booklet, wide: float, high: float) -> Drawing:
    """Draw the whole quilt in outline, to scale, each block with its place and turn.

    Parameters
    ----------
    booklet : Booklet
    wide, high : float
        Millimetres that there are.
    """
    layout = booklet.adapted.layout
    scale = min(wide / float(layout.width), high / float(layout.length))
    marks: list[Mark] = []
    inset = 0.0
    sides = float(layout.width), float(layout.length)
    for number, border in enumerate(reversed(layout.borders)):
        grey = BORDER_GREYS[(len(layout.borders) - 1 - number) % 2]
        marks.append(_frame(inset, sides, scale, grey))
        inset += float(border)
    marks.append(_frame(inset, sides, scale, SASHING_GREY if layout.sashing else WHITE))
    for block in booklet.wall.blocks:
        marks += _block(booklet, block, inset, scale)
    for block in booklet.wall.blocks if not layout.on_point else ():
        marks += _arrow_after(booklet, block, inset, scale)
    says = "The quilt by rows: each block with its place, its turn and the way its seam is pressed."
    return Drawing(sides[0] * scale, sides[1] * scale, tuple(marks), says)


def _frame(inset: float, sides: tuple[float, float], scale: float, grey: int) -> DrawnBox:
    wide, high = ((side - 2 * inset) * scale for side in sides)
    return DrawnBox(inset * scale, inset * scale, wide, high, grey, 0.3)


def _block(booklet: Booklet, block: WallBlock, inset: float, scale: float) -> Iterator[Mark]:
    layout = booklet.adapted.layout
    x, y = (inset + block.x) * scale, (inset + block.y) * scale
    wide, high = float(layout.block) * scale / 2, float(layout.tall) * scale / 2
    corners: tuple[tuple[float, float], ...] = (
        (-wide, -high),
        (wide, -high),
        (wide, high),
        (-wide, high),
    )
    lean = math.sqrt(0.5) if layout.on_point else 0.0
    if lean:
        corners = tuple((lean * (a - b), lean * (a + b)) for a, b in corners)
    yield DrawnShape(tuple((x + a, y + b) for a, b in corners), WHITE, 0.35)
    size = min(9.0, 1.1 * high)
    place = f"{block.place} {block.mark}".strip()
    yield DrawnWords(x, y + size * 0.13, place, size, True, "middle")
    if block.turn:
        yield DrawnWords(
            x, y + size * 0.13 + 3.0, _turn_words(block.turn), EDGE_WORDS, anchor="middle"
        )


def _arrow_after(booklet: Booklet, block: WallBlock, inset: float, scale: float) -> Iterator[Mark]:
    """Draw which way the seam at a block's right side is pressed."""
    way = {"right": 1.0, "left": -1.0}.get(block.press_to_next)
    if way is None:
        return
    layout = booklet.adapted.layout
    x = (inset + block.x + float(layout.block) / 2) * scale
    y = (inset + block.y - float(layout.tall) * 0.3) * scale
    start, end = (x - way * ARROW / 2, y), (x + way * ARROW / 2, y)
    yield DrawnLine(*start, *end, 0.35)
    yield arrow_head(start, end)


def _turn_words(turn: int) -> str:
    return {90: "1/4 turn right", 180: "1/2 turn", 270: "1/4 turn left"}[turn]
