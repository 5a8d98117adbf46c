"""Half-rectangle triangles: two colours on either side of a rectangle's diagonal; both hands."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import partial

from catalog.cutting.units.cutting_method import Method, UnitPiece
from catalog.cutting.units.face_shapes import RISING_HALVES, mirrored
from catalog.cutting.units.sized_unit import SizedUnit
from catalog.cutting.units.steps.cloth_geometry import (
    Panel,
    as_panel,
    beside,
    cut_along,
    in_a_row,
    piece,
)
from catalog.cutting.units.steps.diagonal_steps import trimmed_unit
from catalog.cutting.units.steps.sewing_steps import Cloth, Step, StepLine
from catalog.cutting.units.steps.straight_steps import step
from catalog.cutting.units.surd import Surd
from catalog.cutting.units.unit_kind import UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import FINISHED, SEAM
from catalog.lengths import EIGHTH

NAME = "half-rectangle-triangle"
_USUAL = Fraction(1, 2)
"""Height over width, unless told."""


def _steps(rises: bool, sized: SizedUnit) -> tuple[Step, ...]:
    wide, high, seam = (
        float(one) for one in (sized.cuts[0].width, sized.cuts[0].height, sized.seam)
    )
    slant = ((wide, 0.0), (0.0, high))  # the upper left half lies to its right
    corner = ((0.0, 0.0), (wide, 0.0), (0.0, high))
    (x0, y0), (x1, y1) = stitches = beside(*slant, seam)
    # The stitches cross lines a seam inside the two straight edges in the unit's own corners.
    right = x0 + (x1 - x0) * (seam - y0) / (y1 - y0) + seam
    low = y0 + (y1 - y0) * (seam - x0) / (x1 - x0) + seam
    kept = cut_along(corner, *stitches)
    other = tuple((right - x, low - y) for x, y in kept)
    both = Panel((Cloth(kept, 0), Cloth(other, 1)), right, low)
    rectangles = in_a_row([piece(wide, high, part) for part in (0, 1)])
    far = rectangles.wide - wide
    cuts = [StepLine("cut", (x + wide, 0.0), (x, high)) for x in (0.0, far)]
    seen = Panel((Cloth(corner, 0, wrong_side=True),), wide, high)
    steps = (
        step("cut", f"Cut each rectangle, right side up, on the diagonal that "
             f"{'rises' if rises else 'falls'} to the right.", rectangles, cuts),
        step("sew", "Lay a triangle of each face to face and sew the long side, each tip a little "
             "beyond the other's edge.", seen, [StepLine("sew", *stitches)]),
        step("press", "Open it and press to the darker side.", as_panel(both.cloths)),
        *trimmed_unit(both.within(0, 0, right, low), sized),
    )  # fmt: skip
    return steps if rises else tuple(_turned_over(one) for one in steps)


def _turned_over(one: Step) -> Step:
    """Return a step with left and right exchanged."""
    left, _, right, _ = one.extent
    cloths = (
        replace(c, outline=tuple((left + right - x, y) for x, y in reversed(c.outline)))
        for c in one.cloths
    )
    lines = (
        replace(
            line,
            start=(left + right - line.start[0], line.start[1]),
            end=(left + right - line.end[0], line.end[1]),
        )
        for line in one.lines
    )
    return replace(one, cloths=tuple(cloths), lines=tuple(lines))


def _in_shape(rises: bool, aspect: Fraction) -> UnitKind:
    """Return the unit of a height over width.

    A right triangle of finished sides a and b and long side c that is moved out by a seam all round
    keeps its shape; each of its sides grows by (a + b + c) / b seams for each inch of a. Of a width
    of 1 that is 1 + r + √(1 + r²), with r the height, for the height and the r-th part more for the
    width.
    """
    name = NAME if rises else f"{NAME}-reversed"
    grows = 1 + aspect + Surd.square_root(1 + aspect**2)
    way = "rises" if rises else "falls"
    method = Method(
        unit=name,
        at_a_time=2,
        units=2,
        aspect=aspect,
        face=Surd(aspect),
        pieces=(
            UnitPiece(
                "rectangle to cut once on the diagonal",
                2,
                FINISHED + grows / aspect * SEAM,
                FINISHED * aspect + grows * SEAM,
                shape="rectangle",
                large=2 * EIGHTH,
            ),
        ),
        how=f"Cut two rectangles, right side up, on the diagonal that {way} to the right, and sew "
        "a triangle of each together on the long side.",
        trimming="Trim it so that the seam crosses the lines a seam inside the edges in two "
        "corners: it doesn't run into the raw corners.",
        caution="Both cloths are cut right side up and on the same diagonal: on the other it "
        "becomes the other hand. The long sides are on the bias, so don't pull them.",
        steps=partial(_steps, rises),
    )
    halves = RISING_HALVES if rises else mirrored(RISING_HALVES)
    parts = tuple(UnitPart((half,), shape="half") for half in halves)
    others = ("hrt",) if rises else ("hrt-reversed",)
    return UnitKind(name, (method,), parts, others, partial(_in_shape, rises))


HALF_RECTANGLE_TRIANGLE = _in_shape(True, _USUAL)
HALF_RECTANGLE_TRIANGLE_REVERSED = _in_shape(False, _USUAL)
