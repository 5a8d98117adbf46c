"""Shapes that the faces of units are drawn of, in shares of a unit's width and height.

(0, 0) is the unit's top left corner; the unit lies as it does before it is turned.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Final

Share = Fraction | int
Polygon = tuple[tuple[Fraction, Fraction], ...]
"""Corners of a convex polygon, clockwise, (x, y)."""


def polygon(*corners: tuple[Share, Share]) -> Polygon:
    """Return a polygon of its corners, clockwise."""
    return tuple((Fraction(x), Fraction(y)) for x, y in corners)


def box(left: Share, top: Share, right: Share, bottom: Share) -> Polygon:
    """Return a rectangle that lies straight in the unit."""
    return polygon((left, top), (right, top), (right, bottom), (left, bottom))


def grid(across: int, down: int | None = None) -> tuple[Polygon, ...]:
    """Return the equal boxes of a patch in reading order; as many down as across unless told."""
    wide, high = Fraction(1, across), Fraction(1, down or across)
    return tuple(
        box(c * wide, r * high, (c + 1) * wide, (r + 1) * high)
        for r in range(down or across)
        for c in range(across)
    )


def chequered(across: int, down: int | None = None) -> tuple[tuple[Polygon, ...], ...]:
    """Return the boxes of a patch by turns: the upper left corner's kind, then the other."""
    boxes = grid(across, down)
    odd = [(place // across + place % across) % 2 for place in range(len(boxes))]
    return tuple(
        tuple(one for one, is_odd in zip(boxes, odd, strict=True) if is_odd == kind)
        for kind in (0, 1)
    )


def corner_triangles(wide: Fraction, high: Fraction | None = None) -> tuple[Polygon, ...]:
    """Return triangles in the four corners, clockwise from the upper left; as high as wide."""
    high = wide if high is None else high
    right, low = 1 - wide, 1 - high
    return (
        polygon((0, 0), (wide, 0), (0, high)),
        polygon((right, 0), (1, 0), (1, high)),
        polygon((1, low), (1, 1), (right, 1)),
        polygon((wide, 1), (0, 1), (0, low)),
    )


def without_corners(wide: Fraction, high: Fraction | None = None) -> Polygon:
    """Return what four corner triangles leave of the unit."""
    high = wide if high is None else high
    right, low = 1 - wide, 1 - high
    corners = polygon(
        (wide, 0), (right, 0), (1, high), (1, low), (right, 1), (wide, 1), (0, low), (0, high)
    )
    return tuple(dict.fromkeys(corners))


def lies_straight(face: Polygon) -> bool:
    """Say whether a polygon is a rectangle whose sides run along the unit's."""
    return len(face) == 4 and all(len({corner[axis] for corner in face}) == 2 for axis in (0, 1))


def within(place: Polygon, faces: tuple[Polygon, ...]) -> tuple[Polygon, ...]:
    """Return the face of a smaller unit as it lies in a box of a larger one."""
    (left, top), (right, bottom) = place[0], place[2]
    return moved(faces, lambda x, y: (left + x * (right - left), top + y * (bottom - top)))


def quarter_turned(faces: tuple[Polygon, ...]) -> tuple[Polygon, ...]:
    """Return faces turned a quarter clockwise."""
    return moved(faces, lambda x, y: (1 - y, x))


def half_turned(faces: tuple[Polygon, ...]) -> tuple[Polygon, ...]:
    """Return faces turned half round."""
    return quarter_turned(quarter_turned(faces))


def all_round(top: tuple[Polygon, ...]) -> tuple[Polygon, ...]:
    """Return shapes at the top with the same turned to the other three sides, clockwise."""
    right = quarter_turned(top)
    return (*top, *right, *half_turned(top), *half_turned(right))


def mirrored(faces: tuple[Polygon, ...]) -> tuple[Polygon, ...]:
    """Return faces with left and right exchanged, corners clockwise still."""
    return tuple(tuple((1 - x, y) for x, y in reversed(face)) for face in faces)


def moved(
    faces: tuple[Polygon, ...],
    place_of: Callable[[Fraction, Fraction], tuple[Fraction, Fraction]],
) -> tuple[Polygon, ...]:
    """Return faces with each corner at another place."""
    return tuple(tuple(place_of(x, y) for x, y in face) for face in faces)


WHOLE: Final = box(0, 0, 1, 1)
RISING_HALVES: Final = (polygon((0, 0), (1, 0), (0, 1)), polygon((1, 0), (1, 1), (0, 1)))
"""Upper left and lower right of the diagonal that rises to the right."""
