"""Hexagons cut from a strip: diamonds at 60 degrees whose two points are cut off."""

from __future__ import annotations

import math
from fractions import Fraction

from catalog.cutting.units.cutting_method import Method, StripYield, UnitPiece
from catalog.cutting.units.sized_unit import SizedUnit
from catalog.cutting.units.steps.cloth_geometry import as_panel, piece
from catalog.cutting.units.steps.sewing_steps import Cloth, Step, StepLine
from catalog.cutting.units.steps.straight_steps import DRAWN_STRIP, step
from catalog.cutting.units.surd import ROOT3
from catalog.cutting.units.unit_kind import UnitKind
from catalog.cutting.units.unit_sizes import UNFINISHED

NAME = "hexagon"


def _steps(sized: SizedUnit) -> tuple[Step, ...]:
    high = float(sized.cuts[0].width)
    side, lean = 2 * high / math.sqrt(3.0), high / math.sqrt(3.0)
    long = max(DRAWN_STRIP, 2 * side + lean)
    cuts = [
        StepLine("cut", (lean + n * side, 0.0), (n * side, high))
        for n in range(int((long - lean) / side) + 1)
    ]
    diamond = ((lean, 0.0), (lean + side, 0.0), (side, high), (0.0, high))
    tips = [
        StepLine("cut", (lean, 0.0), (3 * lean / 2, high / 2)),
        StepLine("cut", (side, high), (3 * lean / 2, high / 2)),
    ]
    flat = side / 2  # of the hexagon, whose width from flat to flat is the strip's
    middle = (lean + side) / 2
    six = (
        (middle - flat / 2, 0.0), (middle + flat / 2, 0.0), (middle + flat, high / 2),
        (middle + flat / 2, high), (middle - flat / 2, high), (middle - flat, high / 2),
    )  # fmt: skip
    tips = [
        StepLine("cut", (middle + flat / 2, 0.0), (middle + flat, high / 2)),
        StepLine("cut", (middle - flat, high / 2), (middle - flat / 2, high)),
    ]
    return (
        step("cut", "Straighten the end at 60 degrees and cut diamonds as wide as the strip.",
             piece(long, high, 0), cuts),
        step("cut", "Cut off both sharp points at 60 degrees, half the strip's width from the "
        "middle.",
             as_panel([Cloth(diamond, 0)]), tips),
        step("lay", "Each is a hexagon with its seams.", as_panel([Cloth(six, 0)])),
    )  # fmt: skip


# From flat to flat a hexagon is the strip's width, a seam at either side. The diamond that it is
# cut of has sides of 2 / √3 of that; each of the two points cut off is an eighth of it.
_METHOD = Method(
    unit=NAME,
    at_a_time=1,
    trimmed=False,
    trimming="Don't trim it: its seams would no longer meet the next one's.",
    face=ROOT3 / 2,
    pieces=(UnitPiece("strip", 1, UNFINISHED, shape="strip"),),
    strips=StripYield(1, Fraction(3, 4), segment=UNFINISHED * 2 / ROOT3, ends=UNFINISHED / ROOT3),
    how="Cut diamonds from a strip at 60 degrees, as wide as the strip, and cut off their two "
    "sharp points.",
    measured="from flat side to flat side",
    bias="Four sides of each are on the bias: starch first, and press without pulling.",
    caution="Its side is 0.577 times that. Sew it to the next only from seam to seam, so that "
    "three can meet in a point.",
    steps=_steps,
)
HEXAGON = UnitKind(NAME, (_METHOD,), other_names=("hexagon-from-strips",))
