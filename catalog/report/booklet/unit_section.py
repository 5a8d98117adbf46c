"""Each unit step by step, drawn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from catalog.cutting.adapted.unit_cuts import AdaptedUnit, sized_as_adapted
from catalog.cutting.quilt import BlockUnit
from catalog.cutting.units.steps.sewing_steps import Step, steps_of
from catalog.lengths import SIXTEENTH, show_length
from catalog.phrases import joined, sentence
from catalog.report.booklet.booklet_contents import Booklet, cloth_name
from catalog.report.booklet.cloth_tones import tones_of
from catalog.report.booklet.flowing_pages import LINE as LINE_STEP
from catalog.report.booklet.flowing_pages import SMALL, TEXT, FlowingPages
from catalog.report.booklet.step_drawing import step_drawing, step_scale
from catalog.report.drawings.drawing import Drawing, DrawnBox
from catalog.report.pages.card_page import POINT

MAX_SCALE: Final = 9.0
"""Millimetres for an inch, so that small units don't fill the page."""
GAP: Final = 6.0
"""Millimetres between steps side by side."""
STEP_HIGH: Final = 46.0
"""Millimetres that a step's drawing may be high."""
SWATCH: Final = 4.0
"""Millimetres of a grey in the legend."""


@dataclass(frozen=True)
class _Alike:
    """Units that are sewn alike, of one size, from other cloths."""

    block: int
    each: tuple[AdaptedUnit, ...]
    count: int

    @property
    def adapted(self) -> AdaptedUnit:
        """The first, whose cloths the drawings show."""
        return self.each[0]

    @property
    def units(self) -> tuple[BlockUnit, ...]:
        """The units."""
        return tuple(one.unit for one in self.each)


def units_section(pages: FlowingPages, booklet: Booklet) -> None:
    """Show how each unit of each block is sewn; those sewn alike are told together."""
    pages.begin()
    pages.heading("Sew the units")
    pages.paragraph("Dashed: mark. Dotted: sew. Bold: cut. Arrow: press. Hatched: the wrong side.",
                    SMALL)  # fmt: skip
    for number in range(len(booklet.adapted.quilt.blocks)):
        for alike in _alike(booklet, number):
            _unit(pages, booklet, alike)


def _alike(booklet: Booklet, number: int) -> list[_Alike]:
    groups: dict[object, list[int]] = {}
    units = booklet.units_of(number)
    for place, one in enumerate(units):
        sizes = tuple((cut.width, cut.height) for cut in one.cuts)
        key = one.method.unit, one.method.at_a_time, one.trim, one.trim_height, sizes
        if booklet.unit_count(number, place):
            groups.setdefault(key, []).append(place)
    return [
        _Alike(
            number,
            tuple(units[place] for place in places),
            sum(booklet.unit_count(number, place) for place in places),
        )
        for places in groups.values()
    ]


def _unit(pages: FlowingPages, booklet: Booklet, shown: _Alike) -> None:
    steps = steps_of(sized_as_adapted(shown.adapted, booklet.adapted.seam))
    block = booklet.adapted.quilt.blocks[shown.block]
    name = shown.adapted.method.unit.replace("-", " ")
    marks = joined([unit.mark for unit in shown.units])
    of_block = f" of block {block.mark}" if block.mark else ""
    pages.heading(f"{marks}{of_block}: {name}, {shown.count:,} in all", 12.5, 60.0)
    pages.paragraph(sentence(f"from {joined(_cut_words(shown.each))}"))
    _legend(pages, booklet, shown)
    if len(steps) > 1:
        tones = tones_of(booklet.adapted.quilt, block)
        greys = {part: tones[patch] for part, patch in enumerate(shown.units[0].patches)}
        _grid(pages, steps, greys)
    elif not steps:
        pages.paragraph(shown.adapted.method.how)
    if shown.adapted.method.trimmed:
        wide, high = (show_length(one, step=SIXTEENTH) for one in
                      (shown.adapted.trim, shown.adapted.trim_height))  # fmt: skip
        size = wide if wide == high else f"{wide} x {high}"
        pages.paragraph(f"Trim to {size}.", bold=True, tick=True)
    if shown.adapted.method.caution:
        pages.paragraph(shown.adapted.method.caution)


def _cut_words(units: Sequence[AdaptedUnit]) -> list[str]:
    words = []
    for cut in (cut for one in units for cut in one.cuts):
        size = show_length(cut.width)
        if cut.height != cut.width:
            size = f"{show_length(cut.width, mark=False)} x {show_length(cut.height)}"
        words.append(f"{cut.kind.name} {size}")
    return list(dict.fromkeys(words))


def _legend(pages: FlowingPages, booklet: Booklet, shown: _Alike) -> None:
    """Say which grey is which cloth, of each of the units; the drawings show the first."""
    tones = tones_of(booklet.adapted.quilt, booklet.adapted.quilt.blocks[shown.block])
    for unit in shown.units:
        of_unit = f"{unit.mark}: " if len(shown.units) > 1 else ""
        for patch in dict.fromkeys(unit.patches):
            top = pages.y
            words = f"{of_unit}{cloth_name(booklet, patch)}"
            pages.paragraph(words, SMALL, indent=SWATCH + 3.0)
            box = DrawnBox(0.0, 0.0, SWATCH, SWATCH, tones[patch])
            pages.beside(Drawing(SWATCH, SWATCH, (box,), words), 0.0, top + 0.4)


def _grid(pages: FlowingPages, steps: Sequence[Step], greys: dict[int, int]) -> None:
    """Draw steps side by side, each with its number and its sentence below."""
    across = 2 if pages.larger > 1.0 else 3
    wide = (pages.room - (across - 1) * GAP) / across
    scale = step_scale(steps, wide, STEP_HIGH * pages.larger, MAX_SCALE * pages.larger)
    for first in range(0, len(steps), across):
        row = steps[first : first + across]
        drawings = [step_drawing(step, scale, greys) for step in row]
        words = [
            pages.wrapped(f"{first + n}. {step.says}", TEXT, wide) for n, step in enumerate(row, 1)
        ]
        line = TEXT * pages.larger * POINT * LINE_STEP
        high = max(one.high for one in drawings)
        pages.keep(high + line * max(map(len, words)) + 6.0)
        for place, (drawing, lines) in enumerate(zip(drawings, words, strict=True)):
            x = place * (wide + GAP)
            pages.beside(drawing, x, pages.y + high - drawing.high)
            for number, text in enumerate(lines, 1):
                pages.line_at(x, pages.y + high + 1.0 + number * line, text)
        pages.y += high + line * max(map(len, words)) + 6.0
