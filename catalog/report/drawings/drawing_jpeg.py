"""A drawing as a JPEG picture in grey."""

from __future__ import annotations

from functools import cache
from io import BytesIO
from typing import TYPE_CHECKING, Final

from catalog.report.drawings.drawing import (
    WHITE,
    Drawing,
    DrawnBox,
    DrawnLine,
    DrawnShape,
    DrawnWords,
    Mark,
)
from catalog.report.pages.card_page import FONTS, POINT
from catalog.report.pages.font_text import laid_out

if TYPE_CHECKING:
    from PIL.ImageDraw import ImageDraw
    from PIL.ImageFont import FreeTypeFont

PIXELS_A_MILLIMETRE: Final = 10.0
"""So that the smallest words stay legible where the picture is printed (254 to the inch)."""
MAX_HIGH: Final = 20_000
"""Pixels; a JPEG may have 65,535, and longer ones are seldom shown."""
MARGIN: Final = 6.0
"""Millimetres round the drawing."""
ANCHORS: Final = {"left": "ls", "middle": "ms", "right": "rs"}


def drawing_jpeg(drawing: Drawing) -> bytes:
    """Return a drawing as the bytes of a JPEG file."""
    from PIL import Image, ImageDraw

    scale = min(PIXELS_A_MILLIMETRE, MAX_HIGH / (drawing.high + 2 * MARGIN))
    size = (
        round((drawing.wide + 2 * MARGIN) * scale),
        round((drawing.high + 2 * MARGIN) * scale),
    )
    picture = Image.new("L", size, WHITE)
    pen = ImageDraw.Draw(picture)
    for mark in drawing.moved(MARGIN, MARGIN):
        _draw(pen, mark, scale)
    out = BytesIO()
    picture.save(out, "JPEG", quality=85, dpi=(scale * 25.4, scale * 25.4))
    return out.getvalue()


def _draw(pen: ImageDraw, mark: Mark, scale: float) -> None:
    if isinstance(mark, DrawnBox):
        corners = (mark.x, mark.y, mark.x + mark.wide, mark.y + mark.high)
        line = max(1, round(mark.line * scale)) if mark.line else 0
        box = [one * scale for one in corners]
        pen.rectangle(box, mark.fill, 0 if line else None, line or 1)
    elif isinstance(mark, DrawnLine):
        ends = [one * scale for one in (mark.x0, mark.y0, mark.x1, mark.y1)]
        pen.line(ends, mark.grey, max(1, round(mark.width * scale)))
    elif isinstance(mark, DrawnShape):
        line = max(1, round(mark.line * scale)) if mark.line else 0
        outline = [(x * scale, y * scale) for x, y in mark.corners]
        pen.polygon(outline, mark.fill, 0 if line else None, line or 1)
    else:
        _write(pen, mark, scale)


def _write(pen: ImageDraw, words: DrawnWords, scale: float) -> None:
    font = _font(bold=words.bold, pixels=max(1, round(words.size * POINT * scale)))
    text = laid_out(words.text, _letters())
    place = (words.x * scale, words.y * scale)
    pen.text(place, text, words.grey, font, ANCHORS[words.anchor])


@cache
def _font(*, bold: bool, pixels: int) -> FreeTypeFont:
    from PIL import ImageFont

    name = "DejaVuSansCondensed-Bold.ttf" if bold else "DejaVuSansCondensed.ttf"
    return ImageFont.truetype(str(FONTS / name), pixels)


@cache
def _letters() -> frozenset[int]:
    """Return the code points that the font has."""
    from fontTools.ttLib import TTFont

    with TTFont(FONTS / "DejaVuSansCondensed.ttf", lazy=True) as font:
        return frozenset(font.getBestCmap())
