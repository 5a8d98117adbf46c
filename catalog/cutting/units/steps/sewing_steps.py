"""The steps by which a unit is made, as data with its geometry, so that they can be drawn.

In come a unit's sizes (`steps_of`); out goes for each step one sentence and what lies on the table:
pieces of cloth as polygons and lines on them, in inches, x to the right and y down. A drawing
paints the cloths of a step in their order, each in its part's tone (a wrong side paler or hatched),
every outline thin, and then the lines: ``mark`` dashed, ``sew`` dotted, ``cut`` solid and bold,
``press`` as an arrow from start to end. All steps of a unit are drawn to one scale, which the
largest `extent` sets; each step's own `extent` says what part of the plane to show. The last step
shows the unit as it is sewn in, raw edges and all (of strips, one unit of them).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from catalog.cutting.units.sized_unit import SizedUnit

Point = tuple[float, float]
"""Inches, x to the right and y down."""
Outline = tuple[Point, ...]
"""Corners of a convex polygon, in order."""
Action = Literal["cut", "lay", "mark", "sew", "press", "trim"]
Mark = Literal["mark", "sew", "cut", "press"]


@dataclass(frozen=True)
class Cloth:
    """A piece of cloth as it is seen, what lies under others left out."""

    outline: Outline
    part: int
    """Of the unit, from 0: by it the tone is chosen."""
    wrong_side: bool = False
    """Whether its wrong side is up."""


@dataclass(frozen=True)
class StepLine:
    """A line on the cloth."""

    kind: Mark
    start: Point
    end: Point


@dataclass(frozen=True)
class Step:
    """One thing to do, and how it looks."""

    action: Action
    says: str
    """One sentence."""
    cloths: tuple[Cloth, ...]
    lines: tuple[StepLine, ...] = ()

    @property
    def extent(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom of all that is drawn, inches."""
        points = [point for cloth in self.cloths for point in cloth.outline]
        points += [point for line in self.lines for point in (line.start, line.end)]
        xs, ys = zip(*points, strict=True)
        return min(xs), min(ys), max(xs), max(ys)


def steps_of(sized: SizedUnit) -> tuple[Step, ...]:
    """Return the steps of a unit with its sizes, as `sizing` gives it; none where none are known.

    Examples
    --------
    >>> from fractions import Fraction
    >>> from catalog.cutting.units.sizing import size_from_finished
    >>> from catalog.cutting.units.units_by_name import find_method
    >>> steps = steps_of(size_from_finished(find_method("four-patch"), Fraction(6)))
    >>> [step.action for step in steps]
    ['lay', 'sew', 'press', 'sew', 'press']
    """
    make = sized.method.steps
    return make(sized) if make else ()
