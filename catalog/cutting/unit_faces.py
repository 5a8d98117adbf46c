"""Where the parts of a unit lie: its face as polygons, for drawing and for telling places.

All in shares of the unit's width and height, (0, 0) its top left corner; the unit as it lies
before it is turned. Half-square triangles run from the lower left to the upper right corner.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final

Polygon = tuple[tuple[Fraction, Fraction], ...]
"""Corners of a convex polygon, clockwise, (x, y)."""
Faces = tuple[tuple[Polygon, ...], ...]
"""For each part of the unit the polygons that show of it."""

_THIRD: Final = Fraction(1, 3)
_HALF: Final = Fraction(1, 2)


def _polygon(*corners: tuple[Fraction | int, Fraction | int]) -> Polygon:
    return tuple((Fraction(x), Fraction(y)) for x, y in corners)


def _grid(across: int) -> tuple[Polygon, ...]:
    """Return the squares of a patch in reading order."""
    step = Fraction(1, across)
    return tuple(
        _polygon(
            (c * step, r * step),
            ((c + 1) * step, r * step),
            ((c + 1) * step, (r + 1) * step),
            (c * step, (r + 1) * step),
        )
        for r in range(across)
        for c in range(across)
    )


def _corner_triangles(side: Fraction) -> tuple[Polygon, ...]:
    far = 1 - side
    return (
        _polygon((0, 0), (side, 0), (0, side)),
        _polygon((far, 0), (1, 0), (1, side)),
        _polygon((1, far), (1, 1), (far, 1)),
        _polygon((side, 1), (0, 1), (0, far)),
    )


def _cut_corners(side: Fraction) -> Faces:
    far = 1 - side
    middle = _polygon(
        (side, 0), (far, 0), (1, side), (1, far), (far, 1), (side, 1), (0, far), (0, side)
    )
    return (tuple(dict.fromkeys(middle)),), _corner_triangles(side)


_WHOLE: Final = _polygon((0, 0), (1, 0), (1, 1), (0, 1))
_HALVES: Final = ((_polygon((0, 0), (1, 0), (0, 1)),), (_polygon((1, 0), (1, 1), (0, 1)),))
_QUARTERS: Final = (
    (_polygon((0, 0), (1, 0), (_HALF, _HALF)), _polygon((1, 1), (0, 1), (_HALF, _HALF))),
    (_polygon((1, 0), (1, 1), (_HALF, _HALF)), _polygon((0, 1), (0, 0), (_HALF, _HALF))),
)
_GEESE: Final = (
    (_polygon((_HALF, 0), (1, 1), (0, 1)),),
    (_polygon((0, 0), (_HALF, 0), (0, 1)), _polygon((_HALF, 0), (1, 0), (1, 1))),
)
# A regular octagon cuts 1 / (2 + root 2) off each side; a drawing needs no more than this.
_OCTAGON: Final = Fraction(29289, 100_000)

FACES: Final[dict[str, Faces]] = {
    "square": ((_WHOLE,),),
    "rectangle": ((_WHOLE,),),
    "half-square-triangle": _HALVES,
    "quarter-square-triangle": _QUARTERS,
    "flying-geese": _GEESE,
    "square-in-a-square": _cut_corners(_HALF),
    "square-in-a-square-triangles": _cut_corners(_HALF),
    "square-in-a-square-quarters": _cut_corners(_HALF),
    "flipped-corners": _cut_corners(_THIRD),
    "octagon": _cut_corners(_OCTAGON),
    "four-patch": (_grid(2)[0::3], _grid(2)[1:3]),
    "nine-patch": (_grid(3)[0::2], _grid(3)[1::2]),
}
"""The parts of each unit that a block can be built of: of triangles the upper left (of quarters the
upper and lower) before the other; of geese the large triangle before the sky; of a square with
other corners the middle before them; of patches the corners before the rest."""


def turned(point: tuple[float, float], turn: int) -> tuple[float, float]:
    """Return a point of a unit square after a turn of 0, 90, 180 or 270 degrees clockwise."""
    x, y = point
    for _ in range(turn // 90 % 4):
        x, y = 1 - y, x
    return x, y


def middle(polygon: Polygon) -> tuple[float, float]:
    """Return the mean of a polygon's corners."""
    return (
        float(sum(x for x, _ in polygon)) / len(polygon),
        float(sum(y for _, y in polygon)) / len(polygon),
    )
