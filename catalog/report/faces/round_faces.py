"""Borders, round after round, and the binding, as faces."""

from __future__ import annotations

from collections.abc import Iterator

from catalog.cutting.quilt import Quilt
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.quilt_units import units_on_sides
from catalog.cutting.unit_faces import FACES
from catalog.report.faces.face_values import Face, FaceBox, FilledFace, Filling, box_face
from catalog.report.faces.shown_cloths import ShownCloths
from catalog.report.pictures.wall_picture import BINDING


def round_faces(quilt: Quilt, layout: Layout, cloths: ShownCloths) -> tuple[FilledFace, ...]:
    """Return the faces of the borders, spacers and posts in them, and of the binding.

    Parameters
    ----------
    quilt : Quilt
    layout : Layout
        With its finished sizes.
    cloths : ShownCloths
    """
    return (*_borders(quilt, layout, cloths), *_binding(layout, cloths))


def _borders(quilt: Quilt, layout: Layout, cloths: ShownCloths) -> Iterator[FilledFace]:
    left, top = (float(side) for side in layout.inset)
    wide, long = (float(side) for side in layout.middle)
    rounds = zip(quilt.borders, layout.rounds, cloths.borders, strict=True)
    for number, (border, ring, own) in enumerate(rounds):
        sides, ends, width = float(ring.sides), float(ring.ends), float(ring.width)
        if border.spacer:
            box = (left - sides, top - ends, wide + 2 * sides, long + 2 * ends)
            yield from _frame(box, sides, ends, border.spacer)
            left, top, wide, long = box
        box = (left - width, top - width, wide + 2 * width, long + 2 * width)
        if border.corners == "mitred" and not border.pieced:
            yield from _mitred(box, width, own[0])
        else:
            yield from _frame(box, width, width, own[0])
        if border.pieced:
            counts = units_on_sides(layout, border, number)
            yield from _units(box, width, counts, border.pieced, own)
        if border.corners == "posts":
            yield from _posts(box, width, border.post_cloth or own[0])
        left, top, wide, long = box


def _frame(box: FaceBox, sides: float, ends: float, cloth: str) -> Iterator[FilledFace]:
    """Yield the strips along the inside of a box: those at the sides first, then across them."""
    x, y, wide, long = box
    for strip in (
        (x, y + ends, sides, long - 2 * ends),
        (x + wide - sides, y + ends, sides, long - 2 * ends),
        (x, y, wide, ends),
        (x, y + long - ends, wide, ends),
    ):
        if strip[2] > 0 and strip[3] > 0:
            yield FilledFace(box_face(strip), Filling(cloth))


def _mitred(box: FaceBox, width: float, cloth: str) -> Iterator[FilledFace]:
    """Yield strips whose ends are cut at an angle, so that they meet along the diagonal."""
    x, y, wide, long = box
    far = ((x, y), (x + wide, y), (x + wide, y + long), (x, y + long))
    near = tuple(
        (px + (width if px == x else -width), py + (width if py == y else -width)) for px, py in far
    )
    for number in range(4):
        after = (number + 1) % 4
        points = (far[number], far[after], near[after], near[number])
        upright = number % 2 == 1
        middle = (sum(p for p, _ in points) / 4, sum(q for _, q in points) / 4)
        size = (width, long) if upright else (wide, width)
        yield FilledFace(Face(points, middle, size), Filling(cloth))


def _posts(box: FaceBox, width: float, cloth: str) -> Iterator[FilledFace]:
    x, y, wide, long = box
    for left in (x, x + wide - width):
        for top in (y, y + long - width):
            yield FilledFace(box_face((left, top, width, width)), Filling(cloth))


def _units(
    box: FaceBox, width: float, counts: tuple[int, int], unit: str, own: tuple[str, ...]
) -> Iterator[FilledFace]:
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
                yield from _unit((along, end) if across else (end, along), width, unit, own)


def _unit(
    at: tuple[float, float], side: float, unit: str, own: tuple[str, ...]
) -> Iterator[FilledFace]:
    left, top = at
    for cloth, polygons in zip(own, FACES[unit], strict=True):
        for polygon in polygons:
            points = tuple((left + float(a) * side, top + float(b) * side) for a, b in polygon)
            face = Face(points, (left + side / 2, top + side / 2), (side, side))
            yield FilledFace(face, Filling(cloth))


def _binding(layout: Layout, cloths: ShownCloths) -> Iterator[FilledFace]:
    box = (0.0, 0.0, float(layout.width), float(layout.length))
    return _frame(box, BINDING, BINDING, cloths.binding)
