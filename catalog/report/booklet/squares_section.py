"""The bundle's squares that the quilt takes, each in its cloth over its colours."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from catalog.models import Swatch
from catalog.report.booklet.booklet_contents import Booklet
from catalog.report.booklet.flowing_pages import LINE, SIDE, SMALL, FlowingPages
from catalog.report.pages.card_page import POINT
from catalog.report.palette_bars import runs_one_way

CLOTH: Final = 18.0
"""Millimetres of a square's side."""
GAP: Final = 4.0
"""Millimetres between squares."""


def squares_section(pages: FlowingPages, booklet: Booklet) -> None:
    """Show the squares in rows; none where the booklet is for a class."""
    used = set(_used(booklet))
    shown = [one for one in booklet.swatches if one.label in used] if booklet.own else []
    if not shown:
        return
    side, line = CLOTH * pages.larger, SMALL * pages.larger * POINT * LINE
    high = pages.height_of(side) + 2 * line + GAP
    pages.heading("Your squares", follows=high + 15.0)
    pages.paragraph(
        "Under each square its colours, each as wide as its share, first the ground that the "
        "others lie on; below them the same in grey, as they look from across the room."
    )
    across = max(1, int((pages.room + GAP) // (side + GAP)))
    for first in range(0, len(shown), across):
        pages.keep(high)
        for place, swatch in enumerate(shown[first : first + across]):
            _show(pages, swatch, place * (side + GAP), side)
        pages.y += high


def _show(pages: FlowingPages, swatch: Swatch, x: float, side: float) -> None:
    pages.square(swatch, SIDE + x, pages.y, side)
    base = pages.y + pages.height_of(side) + SMALL * pages.larger * POINT
    size, line = SMALL * pages.larger, SMALL * pages.larger * POINT * LINE
    pages.write(SIDE + x, base, swatch.label, size, room=side, bold=True)
    told = f"{swatch.value}, one way" if runs_one_way(swatch) else swatch.value
    pages.write(SIDE + x, base + line, told, size, room=side)


def _used(booklet: Booklet) -> Iterator[str]:
    """Give the label of every square that a block or a post takes."""
    for block in booklet.wall.blocks:
        yield from (label for _, label in block.squares)
        yield from (label for _, labels in block.scraps for label in labels)
        yield from filter(None, block.posts)
