"""The block sewn, its rows, the quilt's rows, borders, backing and binding."""

from __future__ import annotations

from typing import Final

from catalog.cutting.quilt_units import units_on_sides
from catalog.lengths import SIXTEENTH, show_length
from catalog.phrases import count_of, sentence
from catalog.report.booklet.block_drawing import block_drawing
from catalog.report.booklet.booklet_contents import Booklet
from catalog.report.booklet.flowing_pages import FlowingPages
from catalog.report.booklet.rows_drawing import rows_drawing
from catalog.report.booklet.told_unit import plain_name
from catalog.report.pages.html_views import size_words

BLOCK: Final = 70.0
"""Millimetres that a block is drawn wide."""
BOUGHT_WHOLE: Final = ("backing", "batting", "binding")
"""Cloths of what is sewn on when the top is done."""
LAST_SEWN: Final = ("binding", "sleeve", "label")
"""What pieces are called that are sewn on last, in the cutting list."""
_CORNERS: Final = {
    "butted": "sewn first to the sides, then to top and bottom",
    "mitred": "with mitred corners",
    "posts": "with a square in each corner",
}
_MEASURED: Final = "Measure your quilt through its middle and cut the strips to that."


def assembly_section(pages: FlowingPages, booklet: Booklet) -> None:
    """Show each block laid out and sewn, then the rows of the quilt."""
    quilt = booklet.adapted.quilt
    pages.begin()
    pages.heading("Sew the blocks")
    for number, block in enumerate(quilt.blocks):
        many = sum(one.kind == number for one in booklet.wall.blocks)
        if not many:
            continue
        wide = min(BLOCK * pages.larger, (pages.room - 12.0) / 2)
        laid = block_drawing(quilt, number, wide, apart=True)
        sewn = block_drawing(quilt, number, wide, apart=False)
        name = f"Block {block.mark}: " if block.mark else ""
        pages.heading(f"{name}{count_of(many, 'block')}", 12.5, laid.high + 20.0)
        top = pages.y
        pages.drawing(laid)
        pages.beside(sewn, wide + 12.0, top + (laid.high - sewn.high) / 2)
        pages.paragraph(_block_words(booklet, number))
        pages.paragraph(
            f"It measures {_raw_size(booklet)} with its raw edges.", bold=True, tick=True
        )
        if pressing := _pressing(booklet, number):
            pages.paragraph(f"Press the seams inside: {pressing}.")
    _rows(pages, booklet)


def _block_words(booklet: Booklet, number: int) -> str:
    block = booklet.adapted.quilt.blocks[number]
    if len(block.cells) == 1:
        return "The unit is the block."
    letters = ", ".join(dict.fromkeys(block.units[cell.unit].mark for cell in block.cells))
    return (
        f"Lay the units out as drawn ({letters} are their letters), turned as the greys show. Sew "
        "the rows, then join them, seams nested."
    )


def _raw_size(booklet: Booklet) -> str:
    layout, seam = booklet.adapted.layout, booklet.adapted.seam
    wide, high = (
        show_length(one + 2 * seam, step=SIXTEENTH) for one in (layout.block, layout.tall)
    )
    return wide if wide == high else f"{wide} x {high}"


def _pressing(booklet: Booklet, number: int) -> str:
    """Say how the seams inside are pressed where all blocks of a kind say the same."""
    said = {one.press_inside for one in booklet.wall.blocks if one.kind == number}
    return said.pop() if len(said) == 1 else "as the list of blocks says" if said else ""


def _rows(pages: FlowingPages, booklet: Booklet) -> None:
    pages.begin()
    pages.heading("Sew the rows")
    layout = booklet.adapted.layout
    across = "slanting rows from the upper right corner" if layout.on_point else "rows"
    strips = ", a strip of sashing between them" if layout.sashing else ""
    if layout.sashing and layout.posts:
        strips += "; sew strips and posts by turns into rows of their own, to lie between those"
    pages.paragraph(
        f"Sew the blocks into {across}{strips}; then join the rows. Arrows tell which way the seam "
        "between two blocks is pressed, so that seams of neighbouring rows nest."
    )
    pages.drawing(rows_drawing(booklet, pages.room, pages.left - 45.0))
    joins = dict.fromkeys(one.press_row for one in booklet.wall.blocks if one.press_row)
    if joins:
        pages.paragraph(f"Seams between rows: {'; '.join(joins)}.")


def _with_units(booklet: Booklet, number: int) -> str:
    layout, border = booklet.adapted.layout, booklet.adapted.quilt.borders[number]
    across, down = units_on_sides(layout, border, number)
    name = plain_name(border.pieced or "")
    return f"It is sewn of {name} units: {across} each for top and bottom, {down} for each side."


def finishing_section(pages: FlowingPages, booklet: Booklet) -> None:
    """Say what is sewn on when the middle is done."""
    adapted = booklet.adapted
    pages.heading("Finish")
    for number, (border, ring) in enumerate(
        zip(adapted.quilt.borders, adapted.layout.rounds, strict=True), 1
    ):
        if border.spacer:
            words = (
                f"Spacer of border {number}: strips of {border.spacer}, which make its units fit."
            )
            pages.paragraph(words, tick=True)
        how = "Its strips are as long as the cutting list says."
        if border.pieced or border.corners != "mitred":
            how = _with_units(booklet, number - 1) if border.pieced else _MEASURED
        wide = show_length(ring.width, step=SIXTEENTH)
        words = f"Border {number}: {wide} wide once sewn, {_CORNERS[border.corners]}. {how}"
        pages.paragraph(words, tick=True)
    for row in adapted.buys:
        if row.cloth in BOUGHT_WHOLE:
            words = row.words if row.cloth in row.words else f"{row.cloth}: {row.words}"
            pages.paragraph(sentence(words), tick=True)
    for cut in adapted.cuts:
        if any(word in cut.piece for word in LAST_SEWN):
            words = f"{cut.piece} ({cut.cloth}): {cut.count} of {size_words(cut)}"
            pages.paragraph(sentence(words), tick=True)
    pages.paragraph("Layer, baste, quilt and bind it.", tick=True)
