"""A unit on the page: its fabrics, its steps drawn, and what it is trimmed to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from catalog.cutting.units.sized_unit import SizedUnit
from catalog.cutting.units.steps.sewing_steps import Step, steps_of
from catalog.lengths import SIXTEENTH, show_length
from catalog.report.booklet.flowing_pages import LINE, SMALL, TEXT, FlowingPages
from catalog.report.booklet.step_drawing import step_drawing, step_scale
from catalog.report.drawings.drawing import Drawing, DrawnBox
from catalog.report.pages.card_page import POINT

MAX_SCALE: Final = 9.0
"""Millimetres for an inch, so that small units don't fill the page."""
GAP: Final = 6.0
"""Millimetres between steps side by side."""
STEP_HIGH: Final = 46.0
"""Millimetres that a step's drawing may be high."""
LEGEND_BOX: Final = 4.0
"""Millimetres of a grey in the legend."""


@dataclass(frozen=True)
class ToldUnit:
    """A unit as it is told."""

    heading: str
    cut_from: str
    """A sentence; empty where the cutting list says it."""
    legend: tuple[tuple[str, int], ...]
    """Each cloth with its grey."""
    greys: Mapping[int, int]
    """Of each part of the unit."""
    sized: SizedUnit


def plain_name(unit: str) -> str:
    """Return a unit's name in plain words."""
    return unit.replace("-", " ")


def show_unit(pages: FlowingPages, told: ToldUnit) -> None:
    """Show how a unit is sewn; one that is only cut is told without drawings."""
    steps, method = steps_of(told.sized), told.sized.method
    pages.heading(told.heading, 12.5, 60.0)
    if told.cut_from:
        pages.paragraph(told.cut_from)
    _show_legend(pages, told.legend)
    if len(steps) > 1:
        _grid(pages, steps, told.greys)
    elif not steps:
        pages.paragraph(method.how)
    if method.trimmed:
        sides = (told.sized.trim, told.sized.trim_height)
        wide, high = (show_length(one, step=SIXTEENTH) for one in sides)
        size = wide if wide == high else f"{wide} x {high}"
        pages.paragraph(f"Trim to {size}.", bold=True, tick=True)
    if method.caution:
        pages.paragraph(method.caution)


def _show_legend(pages: FlowingPages, legend: Sequence[tuple[str, int]]) -> None:
    """Say which grey is which cloth."""
    for words, grey in legend:
        top = pages.y
        pages.paragraph(words, SMALL, indent=LEGEND_BOX + 3.0)
        box = DrawnBox(0.0, 0.0, LEGEND_BOX, LEGEND_BOX, grey)
        top = top if pages.y > top else pages.y - LEGEND_BOX - 2.0
        pages.beside(Drawing(LEGEND_BOX, LEGEND_BOX, (box,), words), 0.0, top + 0.4)


def _grid(pages: FlowingPages, steps: Sequence[Step], greys: Mapping[int, int]) -> None:
    """Draw steps side by side, each with its number and its sentence below."""
    across = 2 if pages.larger > 1.0 else 3
    wide = (pages.room - (across - 1) * GAP) / across
    scale = step_scale(steps, wide, STEP_HIGH * pages.larger, MAX_SCALE * pages.larger)
    line = TEXT * pages.larger * POINT * LINE
    for first in range(0, len(steps), across):
        row = steps[first : first + across]
        drawings = [step_drawing(step, scale, greys) for step in row]
        words = [
            pages.wrapped(f"{first + n}. {step.says}", TEXT, wide) for n, step in enumerate(row, 1)
        ]
        high = max(one.high for one in drawings)
        pages.keep(high + line * max(map(len, words)) + 6.0)
        for place, (drawing, lines) in enumerate(zip(drawings, words, strict=True)):
            x = place * (wide + GAP)
            pages.beside(drawing, x, pages.y + high - drawing.high)
            for number, text in enumerate(lines, 1):
                pages.line_at(x, pages.y + high + 1.0 + number * line, text)
        pages.y += high + line * max(map(len, words)) + 6.0
