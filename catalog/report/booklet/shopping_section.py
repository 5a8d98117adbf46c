"""What is needed, for one and for a class, and how each cloth is cut."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from catalog.cutting.plans import BuyRow, CutRow
from catalog.cutting.yardage.bolt import buy
from catalog.phrases import count_of, sentence
from catalog.report.booklet.booklet_contents import Booklet
from catalog.report.booklet.flowing_pages import SMALL, FlowingPages, TableColumn
from catalog.report.drawings.plan_drawing import plan_drawings, scale_bar, scale_of
from catalog.report.pages.html_views import size_words

NEEDS: Final = (TableColumn("what", 0.3), TableColumn("how much", 0.7))
CLASS: Final = (
    TableColumn("what", 0.2),
    TableColumn("each", 0.36),
    TableColumn("together, from one length", 0.44),
)
CUTS: Final = (
    TableColumn("from", 0.18),
    TableColumn("piece", 0.18),
    TableColumn("how many", 0.1),
    TableColumn("size", 0.2),
    TableColumn("how", 0.34),
)


def shopping_section(pages: FlowingPages, booklet: Booklet) -> None:
    """List what one quilt takes, with boxes to tick."""
    for_whom = "What you need" if booklet.own else "What each of you needs"
    pages.heading(for_whom)
    rows = [*_squares(booklet), *((buy.cloth, buy.words) for buy in booklet.adapted.buys)]
    pages.table(NEEDS, rows)


def students_section(pages: FlowingPages, booklet: Booklet) -> None:
    """List what a class takes."""
    many = booklet.printed.students
    if not many:
        return
    pages.heading(f"What {count_of(many, 'student')} need{'s' if many == 1 else ''}")
    rows = [(row.precut, count_of(row.packs, "pack"), count_of(row.packs * many, "pack"))
            for row in booklet.adapted.packs]  # fmt: skip
    rows += [_for_a_class(booklet, one, many) for one in booklet.adapted.buys]
    pages.table(CLASS, rows)
    pages.paragraph(
        "Together, from one length: what has to be bought if one of you buys for all and cuts it "
        "up on the day.",
        SMALL,
    )


def _for_a_class(booklet: Booklet, row: BuyRow, many: int) -> tuple[str, str, str]:
    if not row.bought:
        return row.cloth, row.words, f"{many} times"
    together = buy(row.used * many, booklet.adapted.cloth)
    return row.cloth, row.words, together.words


def _squares(booklet: Booklet) -> Iterator[tuple[str, str]]:
    if packs := booklet.adapted.packs:
        yield from ((row.precut, sentence(row.words)) for row in packs)
        return
    for cut in booklet.adapted.cuts:
        if cut.cloth.startswith("squares"):
            yield cut.cloth, f"{count_of(cut.count, 'piece')} of {size_words(cut)}: {cut.how}"


def cutting_section(pages: FlowingPages, booklet: Booklet) -> None:
    """List what is cut, and draw how each cloth is cut up."""
    pages.heading("Cut")
    pages.paragraph("Measure twice, and cut the largest pieces first.")
    pages.table(CUTS, [_cut(row) for row in booklet.adapted.cuts])
    layouts = [one.layout for one in booklet.adapted.buys if one.layout]
    if not layouts:
        return
    larger = booklet.printed.larger
    pages.heading("Each cloth, drawn to scale", follows=60.0)
    pages.drawing(scale_bar(scale_of(layouts, pages.room, larger=larger), pages.room))
    for drawing in plan_drawings(layouts, pages.room, larger=larger):
        pages.drawing(drawing)
        pages.gap(3.0)


def _cut(row: CutRow) -> tuple[str, ...]:
    how = "; ".join(
        part for part in (row.how, row.trim and f"trim the {row.trim}", row.note) if part
    )
    return row.cloth, row.piece, f"{row.count:,}", size_words(row), how
