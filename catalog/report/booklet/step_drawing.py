"""A step of sewing a unit, drawn."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Final

from catalog.cutting.units.steps.sewing_steps import Cloth, Outline, Point, Step, StepLine
from catalog.report.drawings.drawing import Drawing, DrawnLine, DrawnShape, Mark

HATCH: Final = 1.6
"""Millimetres between the lines that tell the wrong side of cloth (choice of ours)."""
WIDTHS: Final = {"mark": 0.25, "sew": 0.45, "cut": 0.7, "press": 0.35}
DASHES: Final = {"mark": 2.0, "sew": 0.7, "cut": 0.0, "press": 0.0}
"""Millimetres: marks dashed, stitches dotted, cuts bold, as drawings of sewing have it
(`common practice`)."""
ARROW_HEAD: Final = 1.6
"""Millimetres."""
EDGE: Final = 1.0
"""Millimetres round a drawing, so that bold lines and arrows don't reach out of it."""


def step_scale(steps: Sequence[Step], wide: float, high: float, most: float) -> float:
    """Return the millimetres for an inch at which all steps of a unit fit their boxes.

    Parameters
    ----------
    steps : sequence of Step
    wide, high : float
        Of a box, millimetres.
    most : float
        No more than this.
    """
    boxes = [step.extent for step in steps]
    fits = [(wide - 2 * EDGE) / (right - left) for left, _, right, _ in boxes]
    fits += [(high - 2 * EDGE) / (bottom - top) for _, top, _, bottom in boxes]
    return min(most, *fits)


def step_drawing(step: Step, scale: float, tones: Mapping[int, int]) -> Drawing:
    """Draw what lies on the table.

    Parameters
    ----------
    step : Step
    scale : float
        Millimetres for an inch.
    tones : mapping from int to int
        Grey of each part of the unit.
    """
    left, top, right, bottom = step.extent

    def place(point: Point) -> Point:
        return EDGE + (point[0] - left) * scale, EDGE + (point[1] - top) * scale

    marks: list[Mark] = []
    for cloth in step.cloths:
        marks += _cloth(cloth, place, tones)
    for line in step.lines:
        marks += _line(line, place)
    size = (2 * EDGE + (right - left) * scale, 2 * EDGE + (bottom - top) * scale)
    return Drawing(*size, tuple(marks), step.says)


def _cloth(
    cloth: Cloth, place: Callable[[Point], Point], tones: Mapping[int, int]
) -> Iterator[Mark]:
    corners = tuple(place(point) for point in cloth.outline)
    grey = tones.get(cloth.part, 255)
    yield DrawnShape(corners, (grey + 2 * 255) // 3 if cloth.wrong_side else grey, 0.2)
    if cloth.wrong_side:
        yield from _hatched(corners)


def _line(line: StepLine, place: Callable[[Point], Point]) -> Iterator[Mark]:
    (x0, y0), (x1, y1) = place(line.start), place(line.end)
    yield DrawnLine(x0, y0, x1, y1, WIDTHS[line.kind], 0, DASHES[line.kind])
    if line.kind == "press":
        yield arrow_head((x0, y0), (x1, y1))


def arrow_head(start: Point, end: Point) -> DrawnShape:
    """Return the head of an arrow, its point at the end."""
    along = math.atan2(end[1] - start[1], end[0] - start[0])
    wings = tuple(
        (end[0] - ARROW_HEAD * math.cos(along + turn), end[1] - ARROW_HEAD * math.sin(along + turn))
        for turn in (-0.45, 0.45)
    )
    return DrawnShape((end, *wings), 0, 0.1)


def _hatched(corners: Outline) -> Iterator[DrawnLine]:
    """Give slanted lines over a convex polygon."""
    sums = [x + y for x, y in corners]
    at = math.ceil(min(sums) / HATCH) * HATCH + HATCH / 2
    while at < max(sums):
        met = []
        for (x0, y0), (x1, y1) in zip(corners, corners[1:] + corners[:1], strict=True):
            here, there = x0 + y0 - at, x1 + y1 - at
            if here * there < 0:
                share = here / (here - there)
                met.append((x0 + share * (x1 - x0), y0 + share * (y1 - y0)))
        if len(met) == 2:
            yield DrawnLine(*met[0], *met[1], 0.1, 130)
        at += HATCH
