"""Sawtooth star: points of flying geese round a centre of half the side."""

from __future__ import annotations

from fractions import Fraction

from catalog.cutting.units.cutting_method import Method, UnitPiece
from catalog.cutting.units.face_shapes import all_round, box, polygon
from catalog.cutting.units.kinds.triangles.flying_geese import FLYING_GEESE
from catalog.cutting.units.sized_unit import SizedUnit
from catalog.cutting.units.sizing import size_from_finished
from catalog.cutting.units.steps.sewing_steps import Step
from catalog.cutting.units.steps.star_steps import point_steps, quarter_turns, star_rows
from catalog.cutting.units.triangle_sides import HALF_TRIANGLE, QUARTER_TRIANGLE, triangle_side
from catalog.cutting.units.unit_kind import UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import FINISHED, SEAM
from catalog.lengths import EIGHTH

NAME = "sawtooth-star"
_TRIMMING = "Trim the geese before they are sewn in; then leave the star as it is sewn."
CENTRE, POINTS, GROUND, CORNERS = range(4)


def _steps(sized: SizedUnit) -> tuple[Step, ...]:
    way = next(one for one in FLYING_GEESE.ways if one.at_a_time == sized.method.at_a_time)
    geese = size_from_finished(way, sized.finished / 2, seam=sized.seam)
    steps, goose = point_steps(geese, (GROUND, POINTS))
    return (*steps, *star_rows(sized, quarter_turns(goose, 2), CORNERS, CENTRE))


_QUARTER = FINISHED / 4
_CENTRE = UnitPiece("square for the centre", 1, FINISHED / 2 + 2 * SEAM)
_CORNER = UnitPiece("square for the corners", 4, _QUARTER + 2 * SEAM)
# The geese finish at half the side by a quarter of it (see flying geese, four at a time).
_FOUR = Method(
    unit=NAME,
    at_a_time=4,
    trimmed=False,
    trimming=_TRIMMING,
    pieces=(
        _CENTRE,
        UnitPiece(
            "large square for the geese",
            1,
            triangle_side(QUARTER_TRIANGLE, FINISHED / 2),
            large=2 * EIGHTH,
        ),
        UnitPiece(
            "small square for the points", 4, triangle_side(HALF_TRIANGLE, _QUARTER), large=EIGHTH
        ),
        _CORNER,
    ),
    title="sawtooth star, its geese made four at a time",
    how="Make four flying geese with the ground as the goose and the star's cloth as its sky; lay "
    "them round the centre, the corner squares between them, and sew three rows.",
    steps=_steps,
)
_ONE = Method(
    unit=NAME,
    at_a_time=1,
    trimmed=False,
    trimming=_TRIMMING,
    pieces=(
        _CENTRE,
        UnitPiece(
            "rectangle for the geese",
            4,
            FINISHED / 2 + 2 * SEAM,
            _QUARTER + 2 * SEAM,
            shape="rectangle",
        ),
        UnitPiece("small square for the points", 8, _QUARTER + 2 * SEAM, flipped=True),
        _CORNER,
    ),
    title="sawtooth star, its geese made one at a time",
    how=_FOUR.how,
    steps=_steps,
)
_LOW, _HALF, _HIGH = Fraction(1, 4), Fraction(1, 2), Fraction(3, 4)
_TOP = (polygon((_LOW, 0), (_HIGH, 0), (_HALF, _LOW)),)
_TIPS = (
    polygon((_LOW, 0), (_HALF, _LOW), (_LOW, _LOW)),
    polygon((_HIGH, 0), (_HIGH, _LOW), (_HALF, _LOW)),
)


SAWTOOTH_STAR = UnitKind(
    NAME,
    (_FOUR, _ONE),
    (
        UnitPart((box(_LOW, _LOW, _HIGH, _HIGH),), "middle"),
        UnitPart(all_round(_TIPS), "points", piece=2),
        UnitPart(all_round(_TOP), "ground", piece=1),
        UnitPart(all_round((box(0, 0, _LOW, _LOW),)), "corners", piece=3),
    ),
    ("geese-star",),
    groups=((CENTRE,), (POINTS,), (GROUND, CORNERS)),
    group_names=("middle", "points", "ground"),
)
