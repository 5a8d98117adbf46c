"""A large hourglass cut in nine, whose corners and middle are turned."""

from __future__ import annotations

from fractions import Fraction

from catalog.cutting.units.cutting_method import Method, UnitPiece
from catalog.cutting.units.face_shapes import Polygon, box, polygon, quarter_turned, within
from catalog.cutting.units.sized_unit import SizedUnit
from catalog.cutting.units.steps.cloth_geometry import in_a_row, joined_up
from catalog.cutting.units.steps.diagonal_steps import round_the_edge, slanted, trimmed
from catalog.cutting.units.steps.ninth_steps import cut_in_nine
from catalog.cutting.units.steps.sewing_steps import Step
from catalog.cutting.units.steps.straight_steps import row_steps, step
from catalog.cutting.units.surd import ROOT2
from catalog.cutting.units.triangle_sides import ALL_ON_THE_BIAS
from catalog.cutting.units.unit_kind import UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import FINISHED, SEAM

NAME = "disappearing-hourglass"


def _steps(sized: SizedUnit) -> tuple[Step, ...]:
    side, seam = float(sized.cuts[0].width), float(sized.seam)
    one = slanted(side / 2, seam)  # upper left 0, lower right 1
    turns = ((1, 0), (2, 3))
    rows = []
    for row in turns:
        panels = []
        for times in row:
            panel = one
            for _ in range(times):
                panel = panel.turned()
            panels.append(panel)
        rows.append(panels)
    whole = joined_up([joined_up(row, seam) for row in rows], seam, down=True)
    laid = in_a_row([in_a_row(row) for row in rows], down=True)
    square = float(sized.finished) + 6 * seam
    trim, hourglass = trimmed(whole, square, square, sized.method.trimming)
    nine = cut_in_nine(
        hourglass,
        square / 6,
        seam,
        turned=(0, 2, 6, 8),
        quarters={4: 1},
        says="Turn each corner piece half round and the middle one a quarter.",
    )
    joined = row_steps(rows, seam, "triangles sewn in pairs")[1:]
    return (
        *round_the_edge(side, seam),
        step("press", "Open the four and press to the darker side.", in_a_row([one] * 4)),
        step("lay", "Lay them in a square so that like colours lie opposite each other.", laid),
        *joined,
        trim,
        *nine,
    )


# Two squares c sewn all round the edge give four half-square triangles of √2 (c/2 - seam); four of
# them sewn together twice that, less 2 seams; cut in thirds both ways and sewn together again less
# 4 more: finished √2 c - (8 + 2 √2) seam.
_METHOD = Method(
    unit=NAME,
    at_a_time=1,
    trimming="Trim the hourglass, before it is cut in nine, to the finished size and six seams, "
    "its seams running into the corners; then leave the unit as it is sewn.",
    pieces=(UnitPiece("square", 2, (FINISHED + (8 + 2 * ROOT2) * SEAM) / ROOT2),),
    bias=ALL_ON_THE_BIAS,
    how="Lay two squares face to face, sew all round the edge and cut on both diagonals; sew the "
    "four together as an hourglass. Cut it in thirds both ways, turn each corner piece half round "
    "and the middle one a quarter, and sew the nine together again.",
    caution="Don't move the pieces until all four cuts are made.",
    steps=_steps,
)
_THIRD = Fraction(1, 3)
_UPPER, _LOWER = (polygon((0, 0), (1, 0), (1, 1)), polygon((0, 0), (1, 1), (0, 1)))
_HALF = Fraction(1, 2)
_CROSSED = (polygon((0, 0), (1, 0), (_HALF, _HALF)), polygon((1, 1), (0, 1), (_HALF, _HALF)))


def _cell(row: int, column: int) -> Polygon:
    return box(column * _THIRD, row * _THIRD, (column + 1) * _THIRD, (row + 1) * _THIRD)


def _shown(part: int) -> tuple[Polygon, ...]:
    """Return what shows of the cloth above and below in the hourglass, or of the other."""
    faces = [_cell(0, 1), _cell(2, 1)] if part == 0 else [_cell(1, 0), _cell(1, 2)]
    middle = quarter_turned(_CROSSED) if part == 0 else _CROSSED
    faces += within(_cell(1, 1), middle)
    corner = (_LOWER,) if part == 0 else (_UPPER,)
    for place, (row, column) in enumerate(((0, 0), (0, 2), (2, 2), (2, 0))):
        lies: tuple[Polygon, ...] = corner if place % 2 == 0 else ((_LOWER,) if part else (_UPPER,))
        for _ in range(place):
            lies = quarter_turned(lies)
        faces += within(_cell(row, column), lies)
    return tuple(faces)


DISAPPEARING_HOURGLASS = UnitKind(
    NAME,
    (_METHOD,),
    (UnitPart(_shown(0), "top and bottom"), UnitPart(_shown(1), "left and right")),
)
