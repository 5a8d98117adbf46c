"""Words and drawings one below the other, on as many sheets as they take."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import Final

from catalog.report.drawings.drawing import Drawing
from catalog.report.drawings.drawing_on_paper import drawing_on_paper
from catalog.report.pages.card_page import MARGIN, POINT, SOFT, CardPage

SIDE: Final = MARGIN + 5.0
"""Millimetres left free at each side, room for holes."""
FOOT: Final = 14.0
"""Millimetres below what is written, for the number of the page."""
TEXT, HEAD, TITLE, SMALL = 11.0, 15.0, 24.0, 9.0
"""Points."""
LINE: Final = 1.32
"""From base line to base line, of the letters' height (`common practice`)."""
TICK: Final = 4.0
"""Millimetres of a box to tick."""


@dataclass(frozen=True)
class TableColumn:
    """A column of a table."""

    head: str
    share: float
    """Of the width that there is."""


class FlowingPages(CardPage):
    """A PDF under way, from top to bottom and sheet to sheet.

    Parameters
    ----------
    paper : str
        ``A4`` or ``Letter``.
    title : str
        Stands at the foot of each page.
    larger : float
        How many times as large as usual all is written.
    crops : mapping from label to JPEG
        The cloth of squares.
    """

    def __init__(self, paper: str, title: str, larger: float, crops: Mapping[str, bytes]) -> None:
        super().__init__(paper, title, crops)
        self._title, self.larger, self.y = title, larger, 0.0

    @property
    def room(self) -> float:
        """Millimetres across."""
        return self.wide - 2 * SIDE

    @property
    def left(self) -> float:
        """Millimetres to the foot of the page."""
        return self.high - FOOT - self.y

    def begin(self) -> None:
        """Begin a page, its number at its foot."""
        super().begin()
        self.y = MARGIN + 4.0
        base = self.high - MARGIN
        self.write(SIDE, base, self._title, SMALL, room=self.room - 20, grey=SOFT)
        number = str(self.pdf.page_no())
        self.write(self.wide - SIDE, base, number, SMALL, grey=SOFT, to_left=True)

    def keep(self, high: float) -> None:
        """Begin a page unless so many millimetres are left on this one."""
        if self.left < high:
            self.begin()

    def gap(self, high: float) -> None:
        """Leave so many millimetres free, none at the top of a page."""
        self.y += high

    def heading(self, text: str, size: float = HEAD, follows: float = 25.0) -> None:
        """Write a heading; what follows it, so many millimetres, stays with it."""
        step = size * self.larger * POINT * LINE
        self.keep(step + follows)
        self.y += step
        self.write(SIDE, self.y - 1.5, text, size * self.larger, room=self.room, bold=True)
        self.y += 2.0

    def paragraph(
        self,
        text: str,
        size: float = TEXT,
        *,
        indent: float = 0.0,
        bold: bool = False,
        tick: bool = False,
    ) -> None:
        """Write text over as many lines as it takes; before it a box to tick."""
        indent += TICK * self.larger + 3.0 if tick else 0.0
        lines = self.wrapped(text, size, self.room - indent, bold=bold)
        step = size * self.larger * POINT * LINE
        self.keep(step * min(len(lines), 3))
        for number, line in enumerate(lines):
            self.keep(step)
            self.y += step
            if tick and number == 0:
                self.box(SIDE, self.y)
            self.write(SIDE + indent, self.y - 1.2, line, size * self.larger, bold=bold)
        self.y += 1.2

    def box(self, x: float, base: float) -> None:
        """Draw a box to tick whose lower edge stands on a base line."""
        side = TICK * self.larger
        self.pdf.set_draw_color(0)
        self.pdf.set_line_width(0.3)
        self.pdf.rect(x, base - side - 0.3, side, side)

    def line_at(
        self, x: float, base: float, text: str, size: float = TEXT, *, bold: bool = False
    ) -> None:
        """Write a line at a place of the page."""
        self.write(SIDE + x, base, text, size * self.larger, bold=bold)

    def rule(self, y: float, *, bold: bool = False) -> None:
        """Draw a line across the page."""
        self.pdf.set_draw_color(0 if bold else 170)
        self.pdf.set_line_width(0.4 if bold else 0.15)
        self.pdf.line(SIDE, y, self.wide - SIDE, y)

    def wrapped(self, text: str, size: float, room: float, *, bold: bool = False) -> list[str]:
        """Return text as the lines that it takes in so many millimetres."""
        words, lines = text.split(), []
        while words:
            taken = self._words_that_fit(words, size * self.larger, room, bold=bold)
            lines.append(" ".join(words[:taken]))
            words = words[taken:]
        return lines

    def table(self, columns: Sequence[TableColumn], rows: Sequence[Sequence[str]]) -> None:
        """Write a table with a box to tick before each row; its head stands on each page."""
        head = _Row(self, columns, [one.head for one in columns], head=True)
        written = [_Row(self, columns, row) for row in rows]
        self.keep(head.high + (written[0].high if written else 0.0))
        head.write()
        for row in written:
            if self.left < row.high:
                self.begin()
                head.write()
            row.write()
        self.y += 3.0

    def drawing(self, drawing: Drawing, *, x: float = 0.0) -> None:
        """Put a drawing below what there is, on one sheet."""
        self.keep(drawing.high + 2.0)
        drawing_on_paper(self.pdf, drawing, SIDE + x, self.y, self.letters)
        self.y += drawing.high + 2.0

    def beside(self, drawing: Drawing, x: float, y: float) -> None:
        """Put a drawing at a place of the page."""
        drawing_on_paper(self.pdf, drawing, SIDE + x, y, self.letters)

    def photograph(self, jpeg: bytes, high: float, words: str) -> None:
        """Show a picture as wide as the page, or as high as is said; ``words`` say what it is."""
        from PIL import Image

        with Image.open(BytesIO(jpeg)) as picture:
            share = picture.height / picture.width
        wide = min(self.room, high / share)
        self.keep(wide * share + 2.0)
        self.pdf.image(BytesIO(jpeg), SIDE, self.y, wide, wide * share, alt_text=words)
        self.y += wide * share + 3.0


class _Row:
    """One row of a table, its cells as the lines that they take."""

    def __init__(
        self,
        pages: FlowingPages,
        columns: Sequence[TableColumn],
        cells: Sequence[str],
        *,
        head: bool = False,
    ) -> None:
        self.pages, self.head = pages, head
        self.size = SMALL if head else TEXT - 1.0
        indent = TICK * pages.larger + 3.0
        widths = [(pages.room - indent) * column.share for column in columns]
        self.lines = [
            pages.wrapped(cell, self.size, wide - 2.5, bold=head)
            for cell, wide in zip(cells, widths, strict=True)
        ]
        self.starts = [indent + sum(widths[:place]) for place in range(len(widths))]
        self.step = self.size * pages.larger * POINT * LINE

    @property
    def high(self) -> float:
        """Millimetres that it takes."""
        return self.step * max(1, *map(len, self.lines)) + 2.0

    def write(self) -> None:
        """Write it and go on below it."""
        pages, top = self.pages, self.pages.y
        for x, lines in zip(self.starts, self.lines, strict=True):
            for number, line in enumerate(lines, 1):
                base = top + number * self.step - 1.0
                pages.line_at(x, base, line, self.size, bold=self.head)
        if not self.head:
            pages.box(SIDE, top + self.step)
        pages.rule(top + self.high - 1.0, bold=self.head)
        pages.y = top + self.high
