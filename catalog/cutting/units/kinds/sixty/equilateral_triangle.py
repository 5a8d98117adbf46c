"""Triangles with three equal sides, cut from a strip by turns up and down."""

from __future__ import annotations

import math

from catalog.cutting.units.cutting_method import Method, StripYield, UnitPiece
from catalog.cutting.units.sized_unit import SizedUnit
from catalog.cutting.units.steps.cloth_geometry import as_panel, piece
from catalog.cutting.units.steps.sewing_steps import Cloth, Step, StepLine
from catalog.cutting.units.steps.straight_steps import DRAWN_STRIP, step
from catalog.cutting.units.surd import ROOT3
from catalog.cutting.units.unit_kind import UnitKind
from catalog.cutting.units.unit_sizes import FINISHED, SEAM, UNFINISHED

NAME = "equilateral-triangle"


def _steps(sized: SizedUnit) -> tuple[Step, ...]:
    high, seam = float(sized.cuts[0].width), float(sized.seam)
    blunt = 2 * seam / math.sqrt(3.0)
    base = blunt + 2 * high / math.sqrt(3.0)
    pitch, lean = (base + blunt) / 2, (base - blunt) / 2
    long = max(DRAWN_STRIP, 3 * pitch + lean)
    strip = piece(long, high, 0)
    cuts = [
        StepLine(
            "cut", (n * pitch + (lean, 0.0)[n % 2], 0.0), (n * pitch + (0.0, lean)[n % 2], high)
        )
        for n in range(int((long - lean) / pitch) + 1)
    ]
    one = ((lean, 0.0), (lean + blunt, 0.0), (base, high), (0.0, high))
    return (
        step("cut", "Cut triangles by turns up and down, the ruler's 60 degree line on an edge, "
             "their tips blunt.", strip, cuts),
        step("lay", "Each is a triangle with its seams.", as_panel([Cloth(one, 0)])),
    )  # fmt: skip


# Moved out by a seam all round, a triangle with three equal sides keeps its shape; its height,
# three times the radius of the circle inside, grows by 3 seams, one at the base and two at the
# point. A seam above the point is enough, so that the strip is 2 seams wider and the point cut
# blunt. Of a height h without its blunt point the base is 2 (h + seam) / √3 and the blunt point 2
# seam / √3; by turns each takes half their sum, and the slanted end half their difference.
_METHOD = Method(
    unit=NAME,
    at_a_time=1,
    trimmed=False,
    trimming="Don't trim it; cut off only what stands out beyond a seam once it is sewn.",
    face=1 / ROOT3,
    pieces=(UnitPiece("strip", 1, UNFINISHED, shape="strip"),),
    strips=StripYield(
        1, 1, segment=(FINISHED + 4 * SEAM) / ROOT3, ends=(FINISHED + 2 * SEAM) / ROOT3
    ),
    how="Cut triangles from a strip by turns up and down at 60 degrees, the tips blunt by the "
    "ruler; with a ruler that has a point, the strip is a seam wider.",
    measured="from the base to the point",
    bias="Two sides of each are on the bias: starch first, and press without pulling.",
    caution="Its side is 1.155 times its height, or its height 0.866 times its side.",
    steps=_steps,
)
EQUILATERAL_TRIANGLE = UnitKind(NAME, (_METHOD,), other_names=("sixty-degree-triangle",))
