"""Half-square triangles from strips: the tube, and pairs cut with a ruler."""

from __future__ import annotations

import math

from catalog.cutting.units.cutting_method import Method, StripYield, UnitPiece
from catalog.cutting.units.sized_unit import SizedUnit
from catalog.cutting.units.steps.cloth_geometry import (
    Panel,
    as_panel,
    beside,
    in_a_row,
    opened,
    piece,
)
from catalog.cutting.units.steps.diagonal_steps import slanted, trimmed_unit
from catalog.cutting.units.steps.sewing_steps import Cloth, Step, StepLine
from catalog.cutting.units.steps.straight_steps import DRAWN_STRIP, step
from catalog.cutting.units.surd import ROOT2
from catalog.cutting.units.triangle_sides import ALL_ON_THE_BIAS, ON_THE_SEAM
from catalog.cutting.units.unit_kind import UnitKind
from catalog.cutting.units.unit_sizes import FINISHED, SEAM, UNFINISHED

NAME = "half-square-triangle"


def _tube_steps(sized: SizedUnit) -> tuple[Step, ...]:
    strip, seam = float(sized.cuts[0].width), float(sized.seam)
    long = max(DRAWN_STRIP, 5 * strip)
    strips = in_a_row([piece(long, strip, part) for part in (0, 1)], down=True)
    seen = piece(long, strip, 1, wrong_side=True)
    sewn = [StepLine("sew", (0.0, y), (long, y)) for y in (seam, strip - seam)]
    slants = [
        StepLine("cut", (n * strip, (n % 2) * strip), ((n + 1) * strip, (1 - n % 2) * strip))
        for n in range(int(long / strip))
    ]
    one = slanted(strip, seam)
    return (
        step("lay", "Lay out two strips.", strips),
        step("sew", "Lay them face to face and sew both long edges: a tube.", seen, sewn),
        step("cut", "Cut triangles by turns up and down, the ruler's 45 degree line on an edge.",
             seen, [*sewn, *slants]),
        step("press", "Pick out the stitches at the tip, open it and press.", in_a_row([one] * 3)),
        *trimmed_unit(one, sized),
    )  # fmt: skip


def _ruler_steps(sized: SizedUnit) -> tuple[Step, ...]:
    strip, seam = float(sized.cuts[0].width), float(sized.seam)
    blunt = math.sqrt(2.0) * seam
    base, long = strip + blunt, 2 * (strip + 2 * blunt)
    seen = piece(long, strip, 1, wrong_side=True)
    cuts = [
        StepLine("cut", (base, strip), (blunt, 0.0)),
        StepLine("cut", (base + blunt, 0.0), (base + blunt, strip)),
    ]
    outline = ((0.0, 0.0), (blunt, 0.0), (base, strip), (0.0, strip))
    stitches = beside((blunt, 0.0), (base, strip), seam)
    one = as_panel(opened([Cloth(outline, 0)], [Cloth(outline, 1)], stitches)).turned()
    strips = in_a_row([piece(long, strip, part) for part in (0, 1)], down=True)
    triangle = Panel((Cloth(outline, 1, wrong_side=True),), base, strip)
    return (
        step("lay", "Lay two strips face to face.", strips),
        step("cut", "Straighten an end; cut a triangle from the end at 45 degrees, its tip blunt, "
             "then the next straight down, and so on by turns.", seen, cuts),
        step("sew", "Sew each pair on its long side.", triangle, [StepLine("sew", *stitches)]),
        step("press", "Open it, press to the darker side and cut off the ears.", one),
        *trimmed_unit(one, sized),
    )  # fmt: skip


# Of two strips sewn along both long edges. The slanted side lies on a sewn edge and the right angle
# reaches the other, w away: from the stitches it is w - seam high, so the unit measures
# √2 (w - seam). The triangles' bases are 2w and overlap by turns, so each takes w of the strip and
# the slanted ends cost one.
_STRIPS = Method(
    unit=f"{NAME}-strips",
    at_a_time=1,
    pieces=(UnitPiece("strip", 2, UNFINISHED / ROOT2 + SEAM, shape="strip"),),
    strips=StripYield(1, 2, lost=1),
    bias=ALL_ON_THE_BIAS,
    how="Lay two strips face to face, sew both long edges and cut triangles by turns up and "
    "down; pick out the few stitches at each tip.",
    trimming=ON_THE_SEAM,
    steps=_tube_steps,
)
HALF_SQUARE_TRIANGLE_STRIPS = UnitKind(
    _STRIPS.unit, (_STRIPS,), other_names=(f"{NAME}-tube", "hst-tube", "hst-strips")
)
# Of two strips as wide as the unit with its seams, cut in pairs with a ruler. Beside the right
# angle the strip holds the finished side and two seams; the far tip, √2 seam beyond, is cut
# blunt and lies in the seams. So each is a trapezoid, below F + (2 + √2) seam long and above
# √2 seam; by turns each takes half the sum of both, and the slanted end half their difference.
_RULER = Method(
    unit=f"{NAME}-ruler",
    title="half-square triangles cut from strips with a ruler",
    at_a_time=1,
    pieces=(UnitPiece("strip", 2, UNFINISHED, shape="strip"),),
    strips=StripYield(1, 2, segment=FINISHED / 2 + (1 + ROOT2) * SEAM, ends=FINISHED / 2 + SEAM),
    how="Lay two strips face to face and cut them in pairs of triangles, by turns straight across "
    "and at 45 degrees, the tips blunt by the ruler; sew each pair on its long side.",
    trimming=ON_THE_SEAM,
    caution="The long sides are on the bias until they are sewn: don't pull them.",
    steps=_ruler_steps,
)
HALF_SQUARE_TRIANGLE_RULER = UnitKind(_RULER.unit, (_RULER,), other_names=("hst-ruler",))
