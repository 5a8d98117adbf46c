"""A drawing as SVG, to stand in a page."""

from __future__ import annotations

from html import escape
from typing import Final

from catalog.report.drawings.drawing import (
    WHITE,
    Drawing,
    DrawnBox,
    DrawnLine,
    DrawnShape,
    DrawnWords,
    Mark,
)
from catalog.report.pages.card_page import POINT

ANCHORS: Final = {"left": "start", "middle": "middle", "right": "end"}


def drawing_svg(drawing: Drawing) -> str:
    """Return a drawing as an ``svg`` element without scripts or styles; its words are escaped."""
    paper = DrawnBox(0.0, 0.0, drawing.wide, drawing.high, WHITE, 0.0)
    body = "".join(_element(mark) for mark in (paper, *drawing.marks))
    return (
        f'<svg class="drawing" xmlns="http://www.w3.org/2000/svg" role="img" '
        f'aria-label="{escape(drawing.says)}" viewBox="0 0 {drawing.wide:.1f} {drawing.high:.1f}" '
        f'font-family="sans-serif">{body}</svg>'
    )


def _element(mark: Mark) -> str:
    if isinstance(mark, DrawnBox):
        fill = "none" if mark.fill is None else _grey(mark.fill)
        line = f' stroke="#000" stroke-width="{mark.line:g}"' if mark.line else ""
        return (
            f'<rect x="{mark.x:.2f}" y="{mark.y:.2f}" width="{mark.wide:.2f}" '
            f'height="{mark.high:.2f}" fill="{fill}"{line}/>'
        )
    if isinstance(mark, DrawnLine):
        dash = f' stroke-dasharray="{mark.dash:g}"' if mark.dash else ""
        return (
            f'<line x1="{mark.x0:.2f}" y1="{mark.y0:.2f}" x2="{mark.x1:.2f}" y2="{mark.y1:.2f}" '
            f'stroke="{_grey(mark.grey)}" stroke-width="{mark.width:g}"{dash}/>'
        )
    if isinstance(mark, DrawnShape):
        points = " ".join(f"{x:.2f},{y:.2f}" for x, y in mark.corners)
        line = f' stroke="#000" stroke-width="{mark.line:g}"' if mark.line else ""
        return f'<polygon points="{points}" fill="{_grey(mark.fill)}"{line}/>'
    return _text(mark)


def _text(words: DrawnWords) -> str:
    bold = ' font-weight="bold"' if words.bold else ""
    return (
        f'<text x="{words.x:.2f}" y="{words.y:.2f}" font-size="{words.size * POINT:.2f}"{bold} '
        f'text-anchor="{ANCHORS[words.anchor]}" fill="{_grey(words.grey)}">'
        f"{escape(words.text)}</text>"
    )


def _grey(level: int) -> str:
    return f"#{level:02x}{level:02x}{level:02x}"
