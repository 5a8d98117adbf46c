"""The first page: what the quilt is, how large, how it looks; and the usual cautions."""

from __future__ import annotations

from typing import Final

from catalog.cutting.quilt_sizes.quilt_layout import layout_words
from catalog.lengths import show_length
from catalog.phrases import sentence
from catalog.report.booklet.block_drawing import block_drawing
from catalog.report.booklet.booklet_contents import Booklet
from catalog.report.booklet.flowing_pages import TITLE, FlowingPages
from catalog.report.booklet.rows_drawing import rows_drawing

PICTURE: Final = 130.0
"""Millimetres that the quilt's picture may be high."""
BLOCK: Final = 45.0
"""Millimetres that a block is wide where no picture of the quilt is shown."""


def title_section(pages: FlowingPages, booklet: Booklet) -> None:
    """Say what is sewn."""
    pages.begin()
    pages.heading(booklet.title, TITLE)
    adapted = booklet.adapted
    pages.paragraph(sentence(layout_words(adapted.layout)))
    square = adapted.square
    start = f"Worked out for squares of {show_length(square)} and" if square else "Worked out for"
    pages.paragraph(f"{start} a seam of {show_length(adapted.seam)}. Sew a test seam first.")
    if booklet.own:
        pages.paragraph(f"From the bundle {booklet.bundle}.")
    pages.gap(4.0)
    if booklet.own and booklet.wall_jpeg:
        pages.photograph(booklet.wall_jpeg, PICTURE, "The quilt in your own cloth")
        return
    for number in range(len(adapted.quilt.blocks)):
        pages.drawing(block_drawing(adapted.quilt, number, BLOCK, apart=False))
    pages.gap(3.0)
    pages.drawing(rows_drawing(booklet, pages.room, PICTURE - BLOCK))


def safety_section(pages: FlowingPages, booklet: Booklet) -> None:
    """Show the usual cautions, once."""
    pages.heading("Before you cut, sew and press")
    for caution in booklet.cautions:
        pages.paragraph(caution)
