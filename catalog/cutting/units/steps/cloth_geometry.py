"""Cloth on the table: laid, cut apart, folded open and sewn together, in floats, inches."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from catalog.cutting.units.steps.sewing_steps import Cloth, Outline, Point, StepLine

GAP: Final = 0.75
"""Inches between pieces that are laid out side by side in a drawing (choice of ours)."""
_NOTHING: Final = 1e-9
"""Square inches; a smaller piece is a slip of the arithmetic."""


def rectangle_at(x: float, y: float, wide: float, high: float) -> Outline:
    """Return a rectangle by its upper left corner and its sides."""
    return ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))


def area_of(outline: Outline) -> float:
    """Return the area of a polygon, square inches; of less than three corners none."""
    following = outline[1:] + outline[:1]
    turns = (x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(outline, following, strict=True))
    return abs(sum(turns)) / 2


def cut_along(outline: Outline, start: Point, end: Point) -> Outline:
    """Return what of a polygon lies to the right of a line, as one looks from start to end.

    Empty where nothing does.
    """
    (ax, ay), (bx, by) = start, end

    def right_of(point: Point) -> float:
        return (bx - ax) * (point[1] - ay) - (by - ay) * (point[0] - ax)

    kept: list[Point] = []
    for one, other in zip(outline, outline[1:] + outline[:1], strict=True):
        here, there = right_of(one), right_of(other)
        if here >= 0:
            kept.append(one)
        if here * there < 0:
            share = here / (here - there)
            kept.append(
                (one[0] + share * (other[0] - one[0]), one[1] + share * (other[1] - one[1]))
            )
    found = tuple(kept)
    return found if len(found) > 2 and area_of(found) > _NOTHING else ()


def folded(outline: Outline, start: Point, end: Point) -> Outline:
    """Return a polygon folded over a line."""
    (ax, ay), (bx, by) = start, end
    dx, dy = bx - ax, by - ay
    length = dx * dx + dy * dy

    def over(point: Point) -> Point:
        off = 2 * (dx * (point[1] - ay) - dy * (point[0] - ax)) / length
        return point[0] + off * dy, point[1] - off * dx

    return tuple(over(point) for point in outline)


@dataclass(frozen=True)
class Panel:
    """Cloths that are sewn together, or one alone, with raw edges all round."""

    cloths: tuple[Cloth, ...]
    wide: float
    high: float

    def moved(self, x: float, y: float) -> Panel:
        """Return it at another place."""
        return self._each(lambda p: (p[0] + x, p[1] + y))

    def turned(self) -> Panel:
        """Return it turned a quarter clockwise about, its upper left corner at (0, 0) again."""
        turned = self._each(lambda p: (self.high - p[1], p[0]))
        return replace(turned, wide=self.high, high=self.wide)

    def leaning(self) -> Panel:
        """Return it turned an eighth counterclockwise, its upper left corner at (0, 0) again."""
        root = math.sqrt(0.5)
        return as_panel(self._each(lambda p: (root * (p[0] + p[1]), root * (p[1] - p[0]))).cloths)

    def cut(self, start: Point, end: Point) -> tuple[Cloth, ...]:
        """Return what of its cloths lies to the right of a line."""
        parts = (replace(c, outline=cut_along(c.outline, start, end)) for c in self.cloths)
        return tuple(cloth for cloth in parts if cloth.outline)

    def within(self, x: float, y: float, wide: float, high: float) -> Panel:
        """Return a piece cut out of it along its edges, its upper left corner at (0, 0)."""
        corners = rectangle_at(x, y, wide, high)
        panel = self
        for start, end in zip(corners, corners[1:] + corners[:1], strict=True):
            panel = replace(panel, cloths=panel.cut(start, end))
        return replace(panel.moved(-x, -y), wide=wide, high=high)

    def _each(self, place_of: Callable[[Point], Point]) -> Panel:
        cloths = tuple(
            replace(cloth, outline=tuple(map(place_of, cloth.outline))) for cloth in self.cloths
        )
        return replace(self, cloths=cloths)


def piece(wide: float, high: float, part: int, *, wrong_side: bool = False) -> Panel:
    """Return one piece of cloth, its upper left corner at (0, 0)."""
    return Panel((Cloth(rectangle_at(0, 0, wide, high), part, wrong_side),), wide, high)


def in_a_row(panels: Sequence[Panel], *, down: bool = False, gap: float = GAP) -> Panel:
    """Lay panels beside (or below) one another, a gap between them."""
    cloths: list[Cloth] = []
    at = 0.0
    for panel in panels:
        cloths += panel.moved(*((0, at) if down else (at, 0))).cloths
        at += (panel.high if down else panel.wide) + gap
    long = at - gap
    across = max(panel.wide if down else panel.high for panel in panels)
    return Panel(tuple(cloths), *((across, long) if down else (long, across)))


def joined_up(panels: Sequence[Panel], seam: float, *, down: bool = False) -> Panel:
    """Sew panels together in a row (or a column), each seam taking its allowance of both sides."""
    trimmed = []
    for place, panel in enumerate(panels):
        first, last = (0.0 if place == 0 else seam), (seam if place < len(panels) - 1 else 0.0)
        if down:
            trimmed.append(panel.within(0, first, panel.wide, panel.high - first - last))
        else:
            trimmed.append(panel.within(first, 0, panel.wide - first - last, panel.high))
    return in_a_row(trimmed, down=down, gap=0.0)


def seam_lines(panels: Sequence[Panel], seam: float, *, down: bool = False) -> tuple[StepLine, ...]:
    """Return the stitches in panels that are joined, where `joined_up` has them."""
    lines, at = [], 0.0
    across = min(panel.wide if down else panel.high for panel in panels)
    for place, panel in enumerate(panels[:-1]):
        at += (panel.high if down else panel.wide) - (2 * seam if place else seam)
        start, end = ((0.0, at), (across, at)) if down else ((at, 0.0), (at, across))
        lines.append(StepLine("sew", start, end))
    return tuple(lines)


def beside(start: Point, end: Point, away: float) -> tuple[Point, Point]:
    """Return a line moved sideways: to the right as one looks along it, if `away` is over 0."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = math.hypot(dx, dy)
    x, y = -dy / length * away, dx / length * away
    return (start[0] + x, start[1] + y), (end[0] + x, end[1] + y)


def opened(
    under: Sequence[Cloth], over: Sequence[Cloth], stitches: tuple[Point, Point]
) -> tuple[Cloth, ...]:
    """Open cloths that lie face to face and are sewn along a line; nothing is moved.

    What is kept lies to the right of the stitches; the upper cloth, told as it lies, is folded over
    them.
    """
    kept = (replace(c, outline=cut_along(c.outline, *stitches)) for c in under)
    turned = (
        replace(c, outline=folded(cut_along(c.outline, *stitches), *stitches), wrong_side=False)
        for c in over
    )
    return tuple(cloth for cloth in (*kept, *turned) if cloth.outline)


def as_panel(cloths: Sequence[Cloth]) -> Panel:
    """Return cloths as a panel, its upper left corner at (0, 0)."""
    xs, ys = zip(*(point for cloth in cloths for point in cloth.outline), strict=True)
    panel = Panel(tuple(cloths), max(xs) - min(xs), max(ys) - min(ys))
    return panel.moved(-min(xs), -min(ys))
