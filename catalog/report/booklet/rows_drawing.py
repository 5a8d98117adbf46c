"""The rows of a quilt, its blocks by place, with arrows that tell how seams are pressed."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from catalog.cutting.plans import WallBlock
from catalog.cutting.quilt_sizes.quilt_layout import Layout
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
HAIR: Final = 1e-6
"""Inches, for what floats leave."""
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
    marks: list[Mark] = list(_rounds(layout, scale))
    for block in booklet.wall.blocks:
        marks += _block(booklet, block, scale)
    if not layout.on_point:
        for block in booklet.wall.blocks:
            marks += _posts(booklet, block, scale)
        for block in booklet.wall.blocks:
            marks += _arrow_after(booklet, block, scale)
    says = "The quilt by rows: each block with its place, its turn and the way its seam is pressed."
    sides = float(layout.width), float(layout.length)
    return Drawing(sides[0] * scale, sides[1] * scale, tuple(marks), says)


def _rounds(layout: Layout, scale: float) -> list[DrawnBox]:
    """Return the middle and the borders round it, the outermost first."""
    left, top = (float(side) for side in layout.inset)
    wide, long = (float(side) for side in layout.middle)
    grey = SASHING_GREY if layout.sashing else WHITE
    boxes = [DrawnBox(left * scale, top * scale, wide * scale, long * scale, grey, 0.3)]
    for number, ring in enumerate(layout.rounds):
        for sides, ends, shade in (
            (float(ring.sides), float(ring.ends), WHITE),
            (float(ring.width), float(ring.width), BORDER_GREYS[number % 2]),
        ):
            if sides or ends:
                left, top, wide, long = left - sides, top - ends, wide + 2 * sides, long + 2 * ends
                box = (left * scale, top * scale, wide * scale, long * scale)
                boxes.append(DrawnBox(*box, shade, 0.3))
    return boxes[::-1]


def _middle_of(booklet: Booklet, block: WallBlock, scale: float) -> tuple[float, float]:
    """Return where the middle of a block lies on the drawing."""
    left, top = (float(side) for side in booklet.adapted.layout.inset)
    return (left + block.x) * scale, (top + block.y) * scale


def _posts(booklet: Booklet, block: WallBlock, scale: float) -> Iterator[Mark]:
    """Draw the posts at a block's corners that lie inside the quilt's middle."""
    layout = booklet.adapted.layout
    if not layout.sashing or not layout.posts:
        return
    side = float(layout.sashing)
    across, down = (float(one) for one in layout.middle)
    for left in (block.x - float(layout.block) / 2 - side, block.x + float(layout.block) / 2):
        for top in (block.y - float(layout.tall) / 2 - side, block.y + float(layout.tall) / 2):
            if min(left, top) > -HAIR and left + side < across + HAIR and top + side < down + HAIR:
                x, y = (float(one) for one in layout.inset)
                at = (x + left) * scale, (y + top) * scale
                yield DrawnBox(*at, side * scale, side * scale, WHITE, 0.2)


def _block(booklet: Booklet, block: WallBlock, scale: float) -> Iterator[Mark]:
    layout = booklet.adapted.layout
    x, y = _middle_of(booklet, block, scale)
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


def _arrow_after(booklet: Booklet, block: WallBlock, scale: float) -> Iterator[Mark]:
    """Draw which way the seam at a block's right side is pressed."""
    way = {"right": 1.0, "left": -1.0}.get(block.press_to_next)
    if way is None:
        return
    layout = booklet.adapted.layout
    x, y = _middle_of(booklet, block, scale)
    x, y = x + float(layout.block) / 2 * scale, y - float(layout.tall) * 0.3 * scale
    start, end = (x - way * ARROW / 2, y), (x + way * ARROW / 2, y)
    yield DrawnLine(*start, *end, 0.35)
    yield arrow_head(start, end)


def _turn_words(turn: int) -> str:
    return {90: "1/4 turn right", 180: "1/2 turn", 270: "1/4 turn left"}[turn]
