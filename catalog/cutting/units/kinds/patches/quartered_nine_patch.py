"""A nine patch cut in quarters, which are turned and sewn together again."""

from __future__ import annotations

from fractions import Fraction

from catalog.cutting.units.cutting_method import Method, UnitPiece
from catalog.cutting.units.face_shapes import Polygon, box, half_turned, quarter_turned, within
from catalog.cutting.units.sized_unit import SizedUnit
from catalog.cutting.units.steps.cloth_geometry import Panel, in_a_row, joined_up, piece
from catalog.cutting.units.steps.sewing_steps import Step, StepLine
from catalog.cutting.units.steps.straight_steps import row_steps, step
from catalog.cutting.units.straight_units import AS_SEWN
from catalog.cutting.units.unit_kind import UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import FINISHED, SEAM

NAME = "quartered-nine-patch"
_NINE = ((0, 1, 0), (1, 2, 1), (0, 1, 0))


def _steps(sized: SizedUnit) -> tuple[Step, ...]:
    side, seam = float(sized.cuts[0].width), float(sized.seam)
    rows = [[piece(side, side, part) for part in row] for row in _NINE]
    nine = joined_up([joined_up(row, seam) for row in rows], seam, down=True)
    half, whole = nine.wide / 2, nine.wide
    cuts = [
        StepLine("cut", (half, 0.0), (half, whole)),
        StepLine("cut", (0.0, half), (whole, half)),
    ]
    quarters = [nine.within(x, y, half, half) for y in (0, half) for x in (0, half)]
    for turned in (1, 2):
        quarters[turned] = quarters[turned].turned().turned()
    laid = in_a_row([in_a_row(quarters[:2]), in_a_row(quarters[2:])], down=True)
    return (
        *row_steps(rows, seam, "squares"),
        step("cut", "Cut it in half both ways.", nine, cuts),
        step("lay", "Turn the upper right and lower left quarters half round.", laid),
        *_joined(quarters, seam),
    )


def _joined(quarters: list[Panel], seam: float) -> tuple[Step, ...]:
    return row_steps([quarters[:2], quarters[2:]], seam, "quarters")[1:]


# A nine patch of squares c measures 3 (c - 2 seam) + 2 seam; a quarter half of that, and finishes
# 2 seams smaller; two of them make the unit: finished 3c - 8 seam.
_METHOD = Method(
    unit=NAME,
    trimmed=False,
    trimming=AS_SEWN,
    at_a_time=1,
    pieces=(UnitPiece("square", 9, (FINISHED + 8 * SEAM) / 3),),
    how="Sew a nine patch, cut it in half both ways, turn two opposite quarters round and sew "
    "the four together.",
    steps=_steps,
)
# Drawn as it comes of 5 in squares at a quarter: squares show 4 1/2 in of 13, cut ones 2 in.
_SHOWN, _HALF = Fraction(9, 26), Fraction(1, 2)
_QUARTERS = (
    (box(0, 0, _HALF, _HALF), False),
    (box(_HALF, 0, 1, _HALF), True),
    (box(0, _HALF, _HALF, 1), True),
    (box(_HALF, _HALF, 1, 1), False),
)


def _shown(part: int) -> tuple[Polygon, ...]:
    """Return what shows of a part: its share of each quarter, as that lies."""
    far = 2 * _SHOWN
    found: list[Polygon] = []
    in_quarter = {
        0: (box(0, 0, far, far),),
        1: (box(far, 0, 1, far), box(0, far, far, 1)),
        2: (box(far, far, 1, 1),),
    }[part]
    for place, (quarter, turned) in enumerate(_QUARTERS):
        # As cut, the corner of each quarter lies at the corner of the nine patch.
        turns = {0: 0, 1: 1, 2: 3, 3: 2}[place]
        lies = in_quarter
        for _ in range(turns):
            lies = quarter_turned(lies)
        found.extend(within(quarter, half_turned(lies) if turned else lies))
    return tuple(found)


QUARTERED_NINE_PATCH = UnitKind(
    NAME,
    (_METHOD,),
    (
        UnitPart(_shown(0), "corners", pieces=4),
        UnitPart(_shown(1), "sides", pieces=4),
        UnitPart(_shown(2), "middle", pieces=1),
    ),
    ("disappearing-nine-patch",),
)
