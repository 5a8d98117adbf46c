"""Borders, round after round, and the binding, as faces."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from catalog.cutting.laid_faces.laid_face import (
    Face,
    FaceBox,
    FaceRole,
    LaidFace,
    box_face,
    share_face,
)
from catalog.cutting.quilt import Quilt
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.quilt_units import units_on_sides
from catalog.cutting.unit_faces import FACES

SHOWN_BINDING: Final = 0.25
"""Inches of binding that show (common practice)."""


def border_faces(quilt: Quilt, layout: Layout) -> Iterator[LaidFace]:
    """Yield the faces of the borders from the inside: spacers, strips, units, posts.

    Units and posts lie over their border's strips.

    Parameters
    ----------
    quilt : Quilt
    layout : Layout
        With its finished sizes.
    """
    left, top = (float(side) for side in layout.inset)
    wide, long = (float(side) for side in layout.middle)
    for number, (border, ring) in enumerate(zip(quilt.borders, layout.rounds, strict=True)):
        sides, ends, width = float(ring.sides), float(ring.ends), float(ring.width)
        if border.spacer:
            left, top, wide, long = left - sides, top - ends, wide + 2 * sides, long + 2 * ends
            yield from _frame((left, top, wide, long), sides, ends, "spacer", number)
        left, top, wide, long = left - width, top - width, wide + 2 * width, long + 2 * width
        box = (left, top, wide, long)
        if border.corners == "mitred" and not border.pieced:
            yield from _mitred(box, width, number)
        else:
            yield from _frame(box, width, width, "border", number)
        if border.pieced:
            counts = units_on_sides(layout, border, number)
            yield from _units(box, width, counts, border.pieced, number)
        if border.corners == "posts":
            yield from _posts(box, width, number)


def binding_faces(layout: Layout) -> Iterator[LaidFace]:
    """Yield what shows of the binding, over the quilt's outermost round."""
    box = (0.0, 0.0, float(layout.width), float(layout.length))
    return _frame(box, SHOWN_BINDING, SHOWN_BINDING, "binding", 0)


def _frame(
    box: FaceBox, sides: float, ends: float, role: FaceRole, border: int
) -> Iterator[LaidFace]:
    """Yield the strips along the inside of a box: those at the sides first, then across them."""
    x, y, wide, long = box
    for strip in (
        (x, y + ends, sides, long - 2 * ends),
        (x + wide - sides, y + ends, sides, long - 2 * ends),
        (x, y, wide, ends),
        (x, y + long - ends, wide, ends),
    ):
        if strip[2] > 0 and strip[3] > 0:
            yield LaidFace(box_face(strip), role, border=border)


def _mitred(box: FaceBox, width: float, border: int) -> Iterator[LaidFace]:
    """Yield strips whose ends are cut at an angle, so that they meet along the diagonal."""
    x, y, wide, long = box
    far = box_face(box).points
    near = box_face((x + width, y + width, wide - 2 * width, long - 2 * width)).points
    for number in range(4):
        after = (number + 1) % 4
        points = (far[number], far[after], near[after], near[number])
        upright = number % 2 == 1
        middle = (sum(p for p, _ in points) / 4, sum(q for _, q in points) / 4)
        size = (width, long) if upright else (wide, width)
        yield LaidFace(Face(points, middle, size), "border", border=border)


def _posts(box: FaceBox, width: float, border: int) -> Iterator[LaidFace]:
    x, y, wide, long = box
    for left in (x, x + wide - width):
        for top in (y, y + long - width):
            yield LaidFace(box_face((left, top, width, width)), "post", border=border)


def _units(
    box: FaceBox, width: float, counts: tuple[int, int], unit: str, border: int
) -> Iterator[LaidFace]:
    """Yield a border of units, so many along top and bottom and along the sides, in the middle."""
    x, y, wide, long = box
    for start, span, units, (low, high), across in (
        (x, wide, counts[0], (y, y + long - width), True),
        (y, long, counts[1], (x, x + wide - width), False),
    ):
        first = start + (span - units * width) / 2
        for place in range(units):
            for end in (low, high):
                along = first + place * width
                at = (along, end) if across else (end, along)
                yield from _unit((*at, width, width), unit, border)


def _unit(box: FaceBox, unit: str, border: int) -> Iterator[LaidFace]:
    for part, polygons in enumerate(FACES[unit]):
        for polygon in polygons:
            yield LaidFace(share_face(polygon, box), "border", part, border)
