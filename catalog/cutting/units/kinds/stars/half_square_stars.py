"""Stars whose points are half-square triangles: on a grid of four, and the friendship star."""

from __future__ import annotations

from fractions import Fraction

from catalog.cutting.units.cutting_method import Method, UnitPiece
from catalog.cutting.units.face_shapes import Polygon, all_round, box, polygon
from catalog.cutting.units.kinds.triangles.half_square_triangle import HALF_SQUARE_TRIANGLE
from catalog.cutting.units.sized_unit import SizedUnit
from catalog.cutting.units.sizing import size_from_finished
from catalog.cutting.units.steps.cloth_geometry import in_a_row, joined_up
from catalog.cutting.units.steps.sewing_steps import Step
from catalog.cutting.units.steps.star_steps import point_steps, star_rows
from catalog.cutting.units.steps.straight_steps import step
from catalog.cutting.units.triangle_sides import HALF_TRIANGLE, triangle_side
from catalog.cutting.units.unit_kind import UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import FINISHED, SEAM
from catalog.lengths import EIGHTH

Faces = tuple[Polygon, ...]
CENTRE, POINTS, GROUND, CORNERS = range(4)
_TRIMMING = (
    "Trim the half-square triangles before they are sewn in; then leave the star as it is sewn."
)
_GROUPS = ((CENTRE,), (POINTS,), (GROUND, CORNERS))


def _points(sized: SizedUnit, parts_of_side: int) -> tuple[tuple[Step, ...], SizedUnit]:
    way = HALF_SQUARE_TRIANGLE.ways[0]
    small = size_from_finished(way, sized.finished / parts_of_side, seam=sized.seam)
    return point_steps(small, (GROUND, POINTS))[0], small


def _star_steps(sized: SizedUnit) -> tuple[Step, ...]:
    steps, small = _points(sized, 4)
    _, one = point_steps(small, (GROUND, POINTS))
    pair = [one.turned(), one]
    joined = joined_up(pair, float(sized.seam))
    laid = step("lay", "Sew two and two together, ground to ground.", in_a_row(pair))
    return (*steps, laid, *star_rows(sized, joined, CORNERS, CENTRE))


def _friendship_steps(sized: SizedUnit) -> tuple[Step, ...]:
    steps, small = _points(sized, 3)
    _, one = point_steps(small, (GROUND, POINTS))
    return (*steps, *star_rows(sized, one.turned(), CORNERS, CENTRE))


def _star(name: str, across: int, squares: int, how: str) -> Method:
    """Return a star on a grid of so many cells; its centre finishes at two of four or one of three.

    The half-square triangles, two at a time, finish at a cell.
    """
    cell = FINISHED / across
    return Method(
        unit=name,
        at_a_time=2,
        trimmed=False,
        trimming=_TRIMMING,
        pieces=(
            UnitPiece("square for the centre", 1, cell * (across - 2) + 2 * SEAM),
            UnitPiece(
                "square for the points and their ground",
                squares,
                triangle_side(HALF_TRIANGLE, cell),
                large=EIGHTH,
            ),
            UnitPiece("square for the corners", 4, cell + 2 * SEAM),
        ),
        how=how,
        steps=_star_steps if across == 4 else _friendship_steps,
    )


def _kind(method: Method, low: Fraction, points: Faces, ground: Faces) -> UnitKind:
    high = 1 - low
    return UnitKind(
        method.unit,
        (method,),
        (
            UnitPart((box(low, low, high, high),), "middle"),
            UnitPart(all_round(points), "points", piece=1),
            UnitPart(all_round(ground), "ground", piece=1),
            UnitPart(all_round((box(0, 0, low, low),)), "corners", piece=2),
        ),
        groups=_GROUPS,
        group_names=("middle", "points", "ground"),
    )


_LOW, _HALF, _HIGH = Fraction(1, 4), Fraction(1, 2), Fraction(3, 4)
HALF_SQUARE_STAR = _kind(
    _star(
        "half-square-star",
        4,
        8,
        "Make eight half-square triangles of the points' cloth and the ground, sew them together "
        "in twos, ground to ground, lay them round the centre, the corner squares between them, "
        "and sew three rows.",
    ),
    _LOW,
    (
        polygon((_LOW, 0), (_HALF, _LOW), (_LOW, _LOW)),
        polygon((_HIGH, 0), (_HIGH, _LOW), (_HALF, _LOW)),
    ),
    (
        polygon((_LOW, 0), (_HALF, 0), (_HALF, _LOW)),
        polygon((_HALF, 0), (_HIGH, 0), (_HALF, _LOW)),
    ),
)
_THIRD, _FAR = Fraction(1, 3), Fraction(2, 3)
FRIENDSHIP_STAR = _kind(
    _star(
        "friendship-star",
        3,
        4,
        "Make four half-square triangles of the points' cloth and the ground, lay them round the "
        "centre, each turned a quarter more than the last, the corner squares between them, and "
        "sew three rows.",
    ),
    _THIRD,
    (polygon((_THIRD, 0), (_FAR, _THIRD), (_THIRD, _THIRD)),),
    (polygon((_THIRD, 0), (_FAR, 0), (_FAR, _THIRD)),),
)
