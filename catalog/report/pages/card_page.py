"""A sheet of paper to draw cards on; lengths in millimetres from its upper left corner."""

from __future__ import annotations

from collections.abc import Mapping
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Final, Self, cast

import numpy as np
from numpy.typing import NDArray

from catalog.models import ColourTerms, SeenFrom, Swatch
from catalog.report.pages.font_text import laid_out
from catalog.report.palette_bars import Bar, bar_words, palette_bars

if TYPE_CHECKING:
    from fpdf.fonts import TTFFont

Box = tuple[float, float, float, float]
"""Left, top, width and height, mm."""
FONTS: Final = Path(__file__).with_name("fonts")
FAMILY: Final = "cards"
MARGIN: Final = 10.0
"""Millimetres that home printers leave white on every side (common practice: 5 and more)."""
MIN_FONT_SIZE: Final = 6.0
"""Points below which text is cut off rather than made smaller (common practice)."""
POINT: Final = 25.4 / 72.0
"""Millimetres."""
INK, SOFT = 0, 90
"""Greys of the text, 0 for black."""
BAR: Final = 0.12
"""Height of the bar of a square's colours under it, of the square's side."""
GREY_BAR: Final = 0.06
"""Likewise of the bar of their greys."""
WAYS: Final[tuple[SeenFrom, SeenFrom]] = ("hand", "wall")
"""From how far a square's colours are seen, and their greys."""
BAR_GAP: Final = 0.4
"""Millimetres between a square and its bars."""


class CardPage:
    """A PDF under way.

    Parameters
    ----------
    paper : str
        ``A4`` or ``Letter``.
    title : str
        Of the document.
    crops : mapping from label to JPEG
    terms : {"standard", "everyday"}
        What colours are called by where a picture is told in words.
    """

    def __init__(
        self,
        paper: str,
        title: str,
        crops: Mapping[str, bytes],
        terms: ColourTerms = "standard",
    ) -> None:
        from fpdf import FPDF

        self.pdf = FPDF(unit="mm", format=paper)
        self.pdf.set_auto_page_break(False)
        self.pdf.add_font(FAMILY, "", FONTS / "DejaVuSansCondensed.ttf")
        self.pdf.add_font(FAMILY, "B", FONTS / "DejaVuSansCondensed-Bold.ttf")
        self.pdf.set_title("".join(one for one in title if one.isprintable()))
        self.pdf.set_lang("en")
        self.letters = cast("TTFFont", self.pdf.fonts[FAMILY]).cmap
        self._crops, self._terms = crops, terms

    @property
    def wide(self) -> float:
        """Width of the paper."""
        return float(self.pdf.w)

    @property
    def high(self) -> float:
        """Height of the paper."""
        return float(self.pdf.h)

    def begin(self) -> None:
        """Begin a page."""
        self.pdf.add_page()

    def __enter__(self) -> Self:
        """Begin to write."""
        return self

    def __exit__(self, *_: object) -> None:
        """Close the fonts' files; nothing can be written on the page any more."""
        for font in self.pdf.fonts.values():
            cast("TTFFont", font).close()

    def finished(self) -> bytes:
        """Return the PDF."""
        return bytes(self.pdf.output())

    def write(
        self,
        x: float,
        y: float,
        text: str,
        size: float,
        *,
        room: float = 1e6,
        bold: bool = False,
        grey: int = INK,
        to_left: bool = False,
    ) -> float:
        """Write a line; return its width.

        Parameters
        ----------
        x, y : float
            Where its base line begins, or ends if it runs ``to_left``.
        size : float
            Points; made smaller down to `MIN_FONT_SIZE`, then cut off, where there is no room.
        room : float
            Width there is.
        """
        shown, size = self._fitted(text, size, room, bold)
        wide = self._width(shown, size, bold)
        self.pdf.set_text_color(grey)
        self.pdf.text(x - wide if to_left else x, y, shown)
        return wide

    def write_lines(
        self, x: float, y: float, text: str, size: float, *, room: float, lines: int
    ) -> float:
        """Write text in so many lines at most; return the height of the next base line."""
        words, step = text.split(), size * POINT * 1.2
        for number in range(lines):
            taken = self._words_that_fit(words, size, room) if number + 1 < lines else len(words)
            if not words:
                break
            self.write(x, y, " ".join(words[:taken]), size, room=room)
            words, y = words[taken:], y + step
        return y

    def _words_that_fit(
        self, words: list[str], size: float, room: float, *, bold: bool = False
    ) -> int:
        fits = [
            number
            for number in range(1, len(words) + 1)
            if self._width(self._shown(" ".join(words[:number])), size, bold) <= room
        ]
        return max(fits, default=1)

    def _fitted(self, text: str, size: float, room: float, bold: bool) -> tuple[str, float]:
        """Return text that fits, and the size in which it does."""
        shown = self._shown(text)
        wide = self._width(shown, size, bold)
        if wide <= room:
            return shown, size
        size = max(MIN_FONT_SIZE, size * room / wide)
        kept = text
        while len(kept) > 1 and self._width(shown, size, bold) > room * 1.001:
            share = room / self._width(shown, size, bold)
            kept = kept[: max(1, min(len(kept) - 1, int(len(kept) * share)))].rstrip()
            shown = self._shown(kept + "\u2026")
        return shown, size

    def _shown(self, text: str) -> str:
        return laid_out(text, self.letters)

    def _width(self, shown: str, size: float, bold: bool) -> float:
        self.pdf.set_font(FAMILY, "B" if bold else "", size)
        return float(self.pdf.get_string_width(shown))

    def square(self, swatch: Swatch, x: float, y: float, side: float) -> None:
        """Draw a square's cloth, under it the bars of its colours and of their greys.

        Where its cloth isn't at hand its colours fill the square.
        """
        (bar,), (at_wall,) = (palette_bars([swatch], way, self._terms) for way in WAYS)
        jpeg = self._crops.get(swatch.label)
        if jpeg:
            words = f"Cloth of {swatch.label}: {bar_words(bar)}"
            self.pdf.image(BytesIO(jpeg), x, y, side, side, alt_text=words)
        else:
            self._bar(bar, (x, y, side, side))
        y += side + BAR_GAP
        self._bar(bar, (x, y, side, side * BAR))
        self._bar(at_wall, (x, y + side * BAR + BAR_GAP, side, side * GREY_BAR), grey=True)

    def _bar(self, bar: Bar, box: Box, *, grey: bool = False) -> None:
        """Fill a box with the colours of a bar, or their greys, a fine line round it."""
        x, y, wide, high = box
        for part in bar:
            self.pdf.set_fill_color(part.grey if grey else part.colour)
            self.pdf.rect(x + wide * part.start, y, wide * part.share, high, style="F")
        self.pdf.set_draw_color(SOFT)
        self.pdf.set_line_width(0.1)
        self.pdf.rect(x, y, wide, high)

    @staticmethod
    def height_of(side: float) -> float:
        """Return how high a square of a side is with the bars under it, mm."""
        return side * (1 + BAR + GREY_BAR) + 2 * BAR_GAP

    def solid(self, box: Box, ink: float) -> None:
        """Fill a box with grey: ``ink`` is 0 for paper, 1 for black."""
        self.pdf.set_fill_color(round(255 * (1.0 - ink)))
        self.pdf.rect(*box, style="F")

    def frame(self, box: Box) -> None:
        """Draw the fine outline of a box."""
        x, y, wide, high = box
        for x0, y0, x1, y1 in (
            (x, y, x + wide, y),
            (x, y + high, x + wide, y + high),
            (x, y, x, y + high),
            (x + wide, y, x + wide, y + high),
        ):
            self.fold(x0, y0, x1, y1)

    def picture(self, pixels: NDArray[np.uint8], box: Box, words: str) -> None:
        """Show a picture without loss, (height, width) of grey; ``words`` say what it is."""
        from PIL import Image

        x, y, wide, high = box
        self.pdf.image(Image.fromarray(pixels), x, y, wide, high, alt_text=words)

    def tick(self, x: float, y: float, words: str) -> None:
        """Draw a box to tick, its lower left corner at a point, and what it is for."""
        self.pdf.set_draw_color(INK)
        self.pdf.set_line_width(0.3)
        self.pdf.rect(x, y - 4.5, 4.5, 4.5)
        self.write(x + 6, y - 1.1, words, 9)

    def cut(self, x0: float, y0: float, x1: float, y1: float) -> None:
        """Draw a line to cut along."""
        self._dashed(x0, y0, x1, y1, 110, 2.0)

    def fold(self, x0: float, y0: float, x1: float, y1: float) -> None:
        """Draw a fine line that isn't cut."""
        self._dashed(x0, y0, x1, y1, 170, 0.7)

    def _dashed(self, x0: float, y0: float, x1: float, y1: float, grey: int, dash: float) -> None:
        self.pdf.set_draw_color(grey)
        self.pdf.set_line_width(0.2)
        self.pdf.set_dash_pattern(dash, dash)
        self.pdf.line(x0, y0, x1, y1)
        self.pdf.set_dash_pattern()
