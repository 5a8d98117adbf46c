"""A cutting plan as a drawing to scale: strips and precuts, what is cut from each, what is left."""

from __future__ import annotations

import string
from collections.abc import Iterator, Sequence
from fractions import Fraction
from textwrap import wrap
from typing import Final

from catalog.cutting.customary import USABLE_WIDTH
from catalog.cutting.layouts.cloth_layout import ClothLayout, LaidCut, LaidPiece, Sheet
from catalog.cutting.layouts.stacking import stacking_words
from catalog.lengths import (
    SIXTEENTH,
    SIXTY_FOURTH,
    centimetres_shown,
    show_centimetres,
    show_length,
    unit_shown,
)
from catalog.phrases import listed, sentence
from catalog.report.drawings.drawing import WHITE, Drawing, DrawnBox, DrawnLine, DrawnWords, Mark

WIDE: Final = 180.0
"""Millimetres: what A4 and Letter both have beside their margins."""
LABELS: Final = 34.0
"""Millimetres at the left for what is said of a sheet."""
TEXT, SMALL, HEAD = 8.0, 7.0, 11.0
"""Points."""
LINE: Final = 0.45
"""Millimetres from base line to base line, of a point."""
GREYS: Final = (232, 205, 245, 218, 190)
"""Of the kinds of pieces by turns, light enough to read letters on and to spare ink."""
HATCH: Final = 3.0
"""Millimetres between the lines over what is left."""
MIN_LETTERED: Final = 2.6
"""Millimetres of a piece's shorter side from which it bears its letter."""
GAP: Final = 3.0
"""Millimetres between sheets."""
HEAD_LETTERS, LETTERS, SMALL_LETTERS = 70, 95, 110
"""Letters in a line, which is then no wider than `WIDE`."""


def plan_drawings(
    layouts: Sequence[ClothLayout], wide: float = WIDE, *, larger: float = 1.0
) -> tuple[Drawing, ...]:
    """Draw cutting plans, each cloth by itself, all to one scale.

    Parameters
    ----------
    layouts : sequence of ClothLayout
    wide : float
        Millimetres that the drawings may be wide.
    larger : float
        How many times as large as usual the words are.
    """
    scale = scale_of(layouts, wide, larger=larger)
    return tuple(plan_drawing(one, scale, wide, larger=larger) for one in layouts)


def scale_of(layouts: Sequence[ClothLayout], wide: float = WIDE, *, larger: float = 1.0) -> float:
    """Return the millimetres of paper for an inch of cloth at which the widest sheet fits.

    Precuts alone are drawn no larger than beside strips.
    """
    widest = max((sheet.width for one in layouts for sheet in one.sheets), default=USABLE_WIDTH)
    return (wide - LABELS * larger) / float(max(widest, USABLE_WIDTH))


def plan_drawing(
    layout: ClothLayout, scale: float, wide: float = WIDE, *, larger: float = 1.0
) -> Drawing:
    """Draw how one cloth is cut up.

    Parameters
    ----------
    layout : ClothLayout
    scale : float
        Millimetres of paper for an inch of cloth.
    wide : float
        Millimetres that the drawing may be wide.
    larger : float
        How many times as large as usual the words are.

    Returns
    -------
    Drawing
        As high as it needs.
    """
    page = _Page(layout, scale, larger)
    page.head()
    for number, sheet in enumerate(layout.sheets, 1):
        page.sheet(number, sheet)
    page.legend()
    sheets = listed([_sheet_lines(one)[0] for one in layout.sheets])
    says = f"How {layout.cloth} is cut up: {sheets}."
    return Drawing(wide, page.y, tuple(page.marks), says)


class _Page:
    """A drawing under way."""

    def __init__(self, layout: ClothLayout, scale: float, larger: float) -> None:
        self.layout, self.scale, self.larger = layout, scale, larger
        self.letters = {_key(one): _letter(n) for n, one in enumerate(layout.kinds)}
        self.greys = {_key(one): GREYS[n % len(GREYS)] for n, one in enumerate(layout.kinds)}
        self.marks: list[Mark] = []
        self.left, self.y = LABELS * larger, 0.0

    def words(self, x: float, text: str, size: float = TEXT, *, bold: bool = False) -> None:
        """Write a line and go on below it."""
        self.y += size * self.larger * LINE
        self.marks.append(DrawnWords(x, self.y - 0.8, text, size * self.larger, bold))

    def head(self) -> None:
        """Say what cloth it is and how much."""
        layout = self.layout
        for line in wrap(f"{layout.cloth}: {layout.amount}", int(HEAD_LETTERS / self.larger)):
            self.words(0.0, line, HEAD, bold=True)
        if widths := {sheet.width for sheet in layout.sheets if sheet.what == "strip"}:
            self.words(0.0, f"strips across {' and '.join(map(both_units, sorted(widths)))}")
        left = f"{float(layout.waste * 100):.0f} percent of what is cut up is left over, hatched"
        self.words(0.0, left if layout.waste else "nothing is left over")
        if any(sheet.cuts for sheet in layout.sheets):
            self.words(0.0, "small numbers: the order of the cuts, each from edge to edge", SMALL)
        if words := stacking_words(layout.sheets, directional=layout.directional):
            for line in wrap(sentence(words), int(SMALL_LETTERS / self.larger)):
                self.words(0.0, line, SMALL)
        self.y += 1.5

    def sheet(self, order: int, sheet: Sheet) -> None:
        """Draw cloth that is cut up alike, once."""
        top, wide, high = self.y, *(float(s) * self.scale for s in (sheet.width, sheet.length))
        self.marks.append(DrawnBox(self.left, top, wide, high, WHITE, 0.4))
        self.marks += _hatched(self.left, top, wide, high)
        for piece in sheet.pieces:
            self.piece(piece, top)
        self.marks.append(DrawnBox(self.left, top, wide, high, None, 0.4))
        self.numbered_cuts(sheet, top)
        first, *rest = _sheet_lines(sheet)
        self.words(0.0, f"{order}. {first}", bold=True)
        for line in rest:
            self.words(0.0, line, SMALL)
        self.y = max(self.y, top + high) + GAP

    def piece(self, piece: LaidPiece, top: float) -> None:
        """Draw one piece where it lies."""
        x, y, wide, high = (
            float(one) * self.scale for one in (piece.x, piece.y, piece.width, piece.length)
        )
        key = _key(piece)
        self.marks.append(DrawnBox(self.left + x, top + y, wide, high, self.greys[key]))
        if min(wide, high) >= MIN_LETTERED:
            middle = self.left + x + wide / 2, top + y + high / 2 + 1.0
            self.marks.append(DrawnWords(*middle, self.letters[key], SMALL, anchor="middle"))

    def numbered_cuts(self, sheet: Sheet, top: float) -> None:
        """Draw the cuts of a precut with their order at the end where they begin.

        Cuts of one number that go on from one another in one line bear it once.
        """
        ends_of = {(cut.order, _lies_down(cut), cut.x1, cut.y1) for cut in sheet.cuts}
        for cut in sheet.cuts:
            x0, y0, x1, y1 = (float(one) * self.scale for one in (cut.x0, cut.y0, cut.x1, cut.y1))
            ends = (self.left + x0, top + y0, self.left + x1, top + y1)
            self.marks.append(DrawnLine(*ends, 0.5))
            if (cut.order, _lies_down(cut), cut.x0, cut.y0) in ends_of:
                continue
            text = str(cut.order)
            x, y = ends[0], ends[1]
            self.marks.append(DrawnBox(x - 1.3, y - 1.3, 1.4 + 1.2 * len(text), 2.6, WHITE, 0.15))
            middle = x - 0.6 + 0.6 * len(text)
            self.marks.append(DrawnWords(middle, y + 0.9, text, 6.0, True, "middle"))

    def legend(self) -> None:
        """Say what the letters stand for."""
        for kind in self.layout.kinds:
            key, base = _key(kind), self.y
            for line in wrap(_kind_words(self.layout, kind), int(LETTERS / self.larger)):
                self.words(7.0 * self.larger, line)
            side = TEXT * self.larger * LINE
            self.marks.append(DrawnBox(1.0, base + 0.2, side, side - 0.6, self.greys[key]))
            letter = DrawnWords(
                *(1.0 + side / 2, base + side - 0.9, self.letters[key], SMALL * self.larger),
                *(True, "middle"),
            )
            self.marks.append(letter)
        for note in self.layout.notes:
            for line in wrap(sentence(note), int(SMALL_LETTERS / self.larger)):
                self.words(7.0 * self.larger, line, SMALL)


def scale_bar(scale: float, wide: float = WIDE) -> Drawing:
    """Return a bar of ten inches, so that a drawing can be measured."""
    long = 10 * scale
    x, y = wide - long - 1.0, 2.0
    marks = (
        DrawnLine(x, y, x + long, y, 0.4),
        DrawnLine(x, y - 1.2, x, y + 1.2, 0.4),
        DrawnLine(x + long, y - 1.2, x + long, y + 1.2, 0.4),
        DrawnWords(x + long / 2, y + 4.2, "10 in, 25.4 cm", SMALL, anchor="middle"),
    )
    return Drawing(wide, 7.0, marks, "Drawn to scale.")


def both_units(length: Fraction) -> str:
    """Write a length in inches and centimetres, those that are shown now first."""
    exact = not length % SIXTY_FOURTH
    with centimetres_shown(False):
        inches = show_length(length, step=None if exact else SIXTEENTH)
    metric = show_centimetres(length)
    return f"{metric} ({inches})" if unit_shown() == "cm" else f"{inches} ({metric})"


def _lies_down(cut: LaidCut) -> bool:
    """Say whether a cut goes across the sheet."""
    return cut.y0 == cut.y1


def _key(piece: LaidPiece) -> tuple[str, Fraction, Fraction]:
    short, long = sorted((piece.width, piece.length))
    return piece.piece, short, long


def _letter(number: int) -> str:
    more, place = divmod(number, len(string.ascii_uppercase))
    return string.ascii_uppercase[place] + (str(more + 1) if more else "")


def _sheet_lines(sheet: Sheet) -> list[str]:
    """Return what is said beside a sheet, the number first."""
    lines = [sheet.says]
    if sheet.what == "strip":
        return [*lines, *both_units(sheet.length).replace(")", "").split(" (")]
    return [*lines, f"{both_units(sheet.width)} x", both_units(sheet.length)]


def _kind_words(layout: ClothLayout, kind: LaidPiece) -> str:
    sides = [kind.width] if kind.width == kind.length else [kind.width, kind.length]
    shown = " x ".join(both_units(side) for side in sides)
    return f"{kind.piece}: {shown}, {layout.count_of(kind)} in all"


def _hatched(x: float, y: float, wide: float, high: float) -> Iterator[DrawnLine]:
    """Give slanted lines over a rectangle."""
    start = HATCH
    while start < wide + high:
        x0, y0 = (start, 0.0) if start <= wide else (wide, start - wide)
        x1, y1 = (0.0, start) if start <= high else (start - high, high)
        yield DrawnLine(x + x0, y + y0, x + x1, y + y1, 0.12, 150)
        start += HATCH
