"""A drawing put on a sheet of a PDF."""

from __future__ import annotations

from typing import TYPE_CHECKING

from catalog.report.drawings.drawing import (
    Drawing,
    DrawnBox,
    DrawnLine,
    DrawnShape,
    DrawnWords,
    Mark,
)
from catalog.report.pages.card_page import FAMILY
from catalog.report.pages.font_text import laid_out

if TYPE_CHECKING:
    from collections.abc import Container

    from fpdf import FPDF


def drawing_on_paper(
    pdf: FPDF, drawing: Drawing, x: float, y: float, letters: Container[int]
) -> None:
    """Draw on the page under way.

    Parameters
    ----------
    pdf : FPDF
        In millimetres, with the fonts of `CardPage`.
    drawing : Drawing
    x, y : float
        Where its upper left corner goes.
    letters : container of int
        Code points that the font has.
    """
    for mark in drawing.moved(x, y):
        _put(pdf, mark, letters)


def _put(pdf: FPDF, mark: Mark, letters: Container[int]) -> None:
    if isinstance(mark, DrawnBox):
        style = ("D" if mark.line else "") + ("F" if mark.fill is not None else "")
        pdf.set_draw_color(0)
        pdf.set_fill_color(255 if mark.fill is None else mark.fill)
        pdf.set_line_width(mark.line or 0.1)
        pdf.rect(mark.x, mark.y, mark.wide, mark.high, style=style or None)
    elif isinstance(mark, DrawnLine):
        pdf.set_draw_color(mark.grey)
        pdf.set_line_width(mark.width)
        pdf.set_dash_pattern(mark.dash, mark.dash)
        pdf.line(mark.x0, mark.y0, mark.x1, mark.y1)
        pdf.set_dash_pattern()
    elif isinstance(mark, DrawnShape):
        pdf.set_draw_color(0)
        pdf.set_fill_color(mark.fill)
        pdf.set_line_width(mark.line or 0.1)
        pdf.polygon(mark.corners, style="DF" if mark.line else "F")
    else:
        _write(pdf, mark, letters)


def _write(pdf: FPDF, words: DrawnWords, letters: Container[int]) -> None:
    pdf.set_font(FAMILY, "B" if words.bold else "", words.size)
    text = laid_out(words.text, letters)
    wide = float(pdf.get_string_width(text))
    start = {"left": 0.0, "middle": wide / 2, "right": wide}[words.anchor]
    pdf.set_text_color(words.grey)
    pdf.text(words.x - start, words.y, text)
