"""Half-square triangles: two colours on either side of a diagonal."""

from __future__ import annotations

from dataclasses import replace

from catalog.cutting.units.cutting_method import Method, PrintLay, UnitPiece
from catalog.cutting.units.face_shapes import RISING_HALVES
from catalog.cutting.units.sized_unit import SizedUnit
from catalog.cutting.units.steps.cloth_geometry import (
    GAP,
    Panel,
    beside,
    in_a_row,
)
from catalog.cutting.units.steps.diagonal_steps import (
    falling,
    pair_steps,
    plain_pair,
    rising,
    round_the_edge,
    slanted,
    trimmed_unit,
)
from catalog.cutting.units.steps.sewing_steps import Step, StepLine
from catalog.cutting.units.steps.straight_steps import step
from catalog.cutting.units.surd import ROOT2
from catalog.cutting.units.triangle_sides import ALL_ON_THE_BIAS, ON_THE_SEAM
from catalog.cutting.units.unit_kind import UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import SEAM, UNFINISHED
from catalog.lengths import EIGHTH

NAME = "half-square-triangle"
_ONCE = "square to cut once on the diagonal"


def _two_steps(sized: SizedUnit) -> tuple[Step, ...]:
    steps, one = pair_steps(float(sized.cuts[0].width), float(sized.seam))
    return (*steps, *trimmed_unit(one, sized))


def _single_steps(sized: SizedUnit) -> tuple[Step, ...]:
    side, seam = float(sized.cuts[0].width), float(sized.seam)
    pair, line = plain_pair(side), rising(side)
    squares = in_a_row([pair.under, pair.over])
    far = side + GAP
    cuts = [StepLine("cut", (x + side, 0.0), (x, side)) for x in (0.0, far)]
    seen = Panel(pair.face_down().cut(*line), side, side)
    return (
        step("cut", "Cut each square once on the diagonal.", squares, cuts),
        step(
            "sew",
            "Lay two triangles face to face and sew the long side, without pulling.",
            seen,
            [StepLine("sew", *beside(*line, seam))],
        ),
        step("press", "Open it and press to the darker side.", pair.opened(line, seam)),
        *trimmed_unit(pair.opened(line, seam), sized),
    )


def _four_steps(sized: SizedUnit) -> tuple[Step, ...]:
    side, seam = float(sized.cuts[0].width), float(sized.seam)
    one = slanted(side / 2, seam)
    return (
        *round_the_edge(side, seam),
        step("press", "Open the four and press to the darker side.", in_a_row([one] * 4)),
        *trimmed_unit(one, sized),
    )


def _eight_steps(sized: SizedUnit) -> tuple[Step, ...]:
    side, seam = float(sized.cuts[0].width), float(sized.seam)
    pair, lines = plain_pair(side), (rising(side), falling(side))
    seen = pair.face_down()
    marks = [StepLine("mark", *line) for line in lines]
    sewn = [StepLine("sew", *beside(*line, away)) for line in lines for away in (seam, -seam)]
    cuts = [
        StepLine("cut", (side / 2, 0.0), (side / 2, side)),
        StepLine("cut", (0.0, side / 2), (side, side / 2)),
        *(StepLine("cut", *line) for line in lines),
    ]
    one = plain_pair(side / 2).opened(rising(side / 2), seam)
    return (
        step("lay", "Lay out two squares.", in_a_row([pair.under, pair.over])),
        step("mark", "Lay them face to face and mark both diagonals.", seen, marks),
        step("sew", "Sew a seam each side of both lines.", seen, [*marks, *sewn]),
        step("cut", "Cut in quarters, then on the lines.", seen, [*sewn, *cuts]),
        step("press", "Open the eight and press to the darker side.", in_a_row([one] * 8)),
        *trimmed_unit(one, sized),
    )


# A seam each side of one diagonal, cut on the diagonal. In a triangle of short side c the slanted
# side lies c/√2 from the corner; the stitches lie one seam nearer, so the opened unit measures
# √2 (c/√2 - seam) = c - √2 seam.
_TWO = Method(
    unit=NAME,
    at_a_time=2,
    units=2,
    pieces=(UnitPiece("square", 2, UNFINISHED + ROOT2 * SEAM, large=EIGHTH),),
    how="Lay two squares face to face, sew a seam each side of one diagonal and cut on the "
    "diagonal.",
    trimming=ON_THE_SEAM,
    lays=(PrintLay("halves", (0,)), PrintLay("halves", (2,))),
    steps=_two_steps,
)
# The same triangles, cut apart first.
_SINGLE = replace(
    _TWO,
    at_a_time=1,
    pieces=(UnitPiece(_ONCE, 2, UNFINISHED + ROOT2 * SEAM, large=EIGHTH),),
    how="Cut two squares once on the diagonal, lay a triangle of each face to face and sew the "
    "long side.",
    caution="The long sides are on the bias until they are sewn: don't pull them.",
    steps=_single_steps,
)
# Sewn all round the edge, cut on both diagonals. Each quarter has an edge c of the square as its
# slanted side, c/2 from the middle; the stitches lie one seam nearer: √2 (c/2 - seam).
_FOUR = Method(
    unit=NAME,
    at_a_time=4,
    units=4,
    pieces=(UnitPiece("square", 2, ROOT2 * UNFINISHED + 2 * SEAM, large=2 * EIGHTH),),
    bias=ALL_ON_THE_BIAS,
    how="Lay two squares face to face, sew all round the edge and cut on both diagonals.",
    trimming=ON_THE_SEAM,
    lays=(PrintLay("leaning"), PrintLay("leaning")),
    steps=_four_steps,
)
# The four quarters, of side c/2, are squares sewn two at a time.
_EIGHT = Method(
    unit=NAME,
    at_a_time=8,
    units=8,
    pieces=(UnitPiece("square", 2, 2 * (UNFINISHED + ROOT2 * SEAM), large=2 * EIGHTH),),
    how="Lay two squares face to face, sew a seam each side of both diagonals, cut in quarters "
    "and then on the diagonals.",
    trimming=ON_THE_SEAM,
    lays=(PrintLay("equal", (0,)), PrintLay("equal", (2,))),
    steps=_eight_steps,
)
HALF_SQUARE_TRIANGLE = UnitKind(
    NAME,
    (_TWO, _FOUR, _EIGHT, _SINGLE),
    tuple(UnitPart((half,), shape="half") for half in RISING_HALVES),
    ("hst",),
)
