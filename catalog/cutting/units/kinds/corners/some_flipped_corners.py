"""One or two corners of other cloth, flipped over a square."""

from __future__ import annotations

from fractions import Fraction

from catalog.cutting.units.face_shapes import corner_triangles, polygon
from catalog.cutting.units.flipping import flipped_corners
from catalog.cutting.units.steps.diagonal_steps import CORNERS
from catalog.cutting.units.unit_kind import NameNumber, UnitFamily, UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import FINISHED

PART_OF_SIDE = NameNumber("corners to the side", 2, 8, 2)


def _flipped(name: str, places: tuple[int, ...], number: int) -> UnitKind:
    """Return the unit with so long corners, a part of the side each, at places clockwise."""
    side = Fraction(1, number)
    method = flipped_corners(
        FINISHED / number,
        name,
        rounding="down" if number == 2 else "nearest",
        corners=tuple(CORNERS[place] for place in places),
    )
    shapes = corner_triangles(side)
    rest: list[tuple[Fraction, Fraction]] = []
    for place, (x, y) in enumerate(polygon((0, 0), (1, 0), (1, 1), (0, 1))):
        if place not in places:
            rest.append((x, y))
            continue
        # Of a corner's triangle the two ends that lie on the edges, clockwise.
        ends = [point for point in shapes[place] if point != (x, y)]
        rest += sorted(ends, key=lambda point: _clockwise(place, point))
    return UnitKind(
        name,
        (method,),
        (
            UnitPart((tuple(dict.fromkeys(rest)),), "middle"),
            UnitPart(tuple(shapes[place] for place in places), "corners", piece=1),
        ),
    )


def _clockwise(place: int, point: tuple[Fraction, Fraction]) -> Fraction:
    """Return how far along the square's edge a point lies that is passed at a corner."""
    x, y = point
    return (x - y, x + y, y - x, -x - y)[place]


def _one(name: str, number: int) -> UnitKind:
    return _flipped(name, (0,), number)


def _two(name: str, number: int) -> UnitKind:
    return _flipped(name, (0, 1), number)


def _opposite(name: str, number: int) -> UnitKind:
    return _flipped(name, (0, 2), number)


ONE_FLIPPED_CORNER = UnitFamily(
    "one-flipped-corner", (PART_OF_SIDE,), _one, ("flipped-corner", "folded-corner")
)
TWO_FLIPPED_CORNERS = UnitFamily("two-flipped-corners", (PART_OF_SIDE,), _two)
OPPOSITE_FLIPPED_CORNERS = UnitFamily("opposite-flipped-corners", (PART_OF_SIDE,), _opposite)
