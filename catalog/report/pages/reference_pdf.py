"""The reference page as a PDF: marks of known size, a bar to measure, paper and patches."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from catalog.models import Paper
from catalog.reference_page.printed_layout import (
    GAP_MM,
    GREY_INK,
    MARGIN_MM,
    MARK_MM,
    PATCH_MM,
    PrintedLayout,
    layout_of,
)
from catalog.reference_page.tag_family import mark_picture
from catalog.report.pages.card_page import CardPage

MARK_PX: Final = 400
"""Of a mark's picture: a cell is 50 px and stays sharp."""
STROKE_MM, TICK_MM = 0.3, 3.0
"""Width and length of the strokes at the bar."""
MM_PER_INCH: Final = 25.4
TEXT_SIZE, TITLE_SIZE = 10.0, 18.0
MAX_LINES: Final = 6


@dataclass(frozen=True)
class _Words:
    """Text that begins at a place and is as wide as there is room."""

    x: float
    y: float
    room: float
    text: str


def reference_pdf(paper: Paper) -> bytes:
    """Return the page that is printed and laid beside the squares, as a PDF.

    Parameters
    ----------
    paper : {"A4", "Letter"}
    """
    layout = layout_of(paper)
    with CardPage(paper, f"Reference page, {paper}", {}) as page:
        page.begin()
        for number, box in zip(layout.numbers, layout.marks, strict=True):
            page.picture(mark_picture(number, MARK_PX), box, f"Mark {number}")
        page.solid(layout.black, 1.0)
        for box in layout.greys:
            page.solid(box, GREY_INK)
        page.frame(layout.field)
        _draw_bar(page, layout)
        x, y = MARGIN_MM + MARK_MM + GAP_MM, MARGIN_MM + 7.0
        page.write(x, y, "Reference page", TITLE_SIZE, bold=True)
        for one in _words(layout):
            page.write_lines(one.x, one.y, one.text, TEXT_SIZE, room=one.room, lines=MAX_LINES)
        return page.finished()


def _draw_bar(page: CardPage, layout: PrintedLayout) -> None:
    """Draw the bar with a stroke at each inch or centimetre."""
    left, top, wide, high = layout.bar
    page.solid(layout.bar, 1.0)
    step = MM_PER_INCH if layout.paper == "Letter" else 10.0
    for place in np.arange(0.0, wide + 0.1, step):
        page.solid((left + min(place, wide - STROKE_MM), top + high, STROKE_MM, TICK_MM), 1.0)


def _words(layout: PrintedLayout) -> Iterator[_Words]:
    """Give what is written on the page."""
    wide, high = layout.size
    beside_marks, beside_patches = MARGIN_MM + MARK_MM + GAP_MM, MARGIN_MM + PATCH_MM + GAP_MM
    between = wide - 2.0 * beside_marks
    yield _Words(
        beside_marks,
        MARGIN_MM + 15.0,
        between,
        "Print it at 100 % (actual size, not fitted to the page) on plain white paper. Lay it "
        "flat beside your squares, whole in the photo and in the same light, with nothing on it.",
    )
    yield _Words(
        beside_patches,
        layout.black[1] + 4.0,
        wide - 2.0 * beside_patches,
        "Both greys are printed alike: where a photo shows them unlike, a shadow or a shine lies "
        "on the page. The black shows whether a lamp is mirrored in it. No colour is judged by "
        "ink: printers differ too much.",
    )
    yield _Words(
        MARGIN_MM,
        layout.field[1] - 2.0,
        wide,
        "Leave this field empty. Colours are judged by the paper itself.",
    )
    yield from _bar_words(layout)
    yield _Words(
        MARGIN_MM,
        layout.greys[1][1] + 8.0,
        wide - MARGIN_MM - beside_patches,
        "The four marks tell how large everything in the photo is, and how the table lies to the "
        "camera: your squares are then measured in true inches, whatever size you say they are.",
    )
    yield _Words(
        beside_marks,
        high - MARGIN_MM - 12.0,
        between,
        "Keep the page flat and clean, and print a new one when it has creases or turns yellow.",
    )


def _bar_words(layout: PrintedLayout) -> Iterator[_Words]:
    """Give what is written over and under the bar."""
    left, top, long, high = layout.bar
    told, other = ("6 in", "5.9") if layout.paper == "Letter" else ("15 cm", '"14.6 cm"')
    yield _Words(left, top - 2.0, long, f"This bar is {told} long. Measure it with your ruler.")
    yield _Words(
        left,
        top + high + TICK_MM + 4.5,
        long,
        f"If it isn't, say what it measures: calicount count PHOTO --reference-bar {other}",
    )
