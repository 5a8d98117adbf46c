"""The units that are looked for in a drawing, each as the short seams that it shows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Final

from numpy.typing import NDArray

from catalog.cutting.unit_faces import turned
from catalog.cutting.units.face_shapes import Polygon
from catalog.cutting.units.units_by_name import find_unit
from catalog.pattern.drawing.seam_lattice import HALVES, LEFT, LOWER, RIGHT, UPPER

if TYPE_CHECKING:
    import numpy as np

Line = tuple[str, int, int, int]
"""``level``, ``upright`` or ``slanted``, row, column, and which half of a diagonal (else 0)."""
RARITY: Final = {
    "half-square-triangle": 0.0,
    "quarter-square-triangle": 0.5,
    "flying-geese": 0.5,
    "split-quarter-square": 1.0,
    "square-in-a-square": 0.5,
    "flipped-corners": 1.0,
    "one-flipped-corner": 1.0,
    "one-flipped-corner-3": 2.0,
    "two-flipped-corners": 2.0,
    "opposite-flipped-corners": 1.5,
    "economy": 1.5,
    "rails-2": 1.0,
    "rails": 1.0,
    "rails-4": 1.5,
}
"""Units besides squares and rectangles, with how much rarer they are than half-square triangles in
logarithms (choice of ours: known blocks and the random ones of the tests are drawn of them)."""
MAX_CELLS: Final = 16
_NEAR_ENDS: Final = 0.8
"""How near to a triangle's corners, from its middle, it is seen to lie in one part of a unit."""


@dataclass(frozen=True)
class UnitShape:
    """A unit as it may lie on a lattice."""

    unit: str
    turn: int
    """Degrees clockwise."""
    wide: int
    """Cells that it covers as it lies."""
    high: int
    lines: tuple[Line, ...]
    """Its seams."""
    parts: tuple[tuple[tuple[int, ...], ...], ...]
    """For each part of the unit, for each piece of it that shows, its triangles: 4 for each cell of
    the unit in reading order."""
    rarity: float


@cache
def shapes_in(wide: int, high: int) -> tuple[UnitShape, ...]:
    """Return the units that may cover so many cells, plain ones left out."""
    found: dict[tuple[Line, ...], UnitShape] = {}
    for unit, rarity in RARITY.items():
        for turn in (0, 90, 180, 270):
            shape = _shape(unit, turn, wide, high, rarity)
            if shape is not None:
                found.setdefault(shape.lines, shape)
    return tuple(found.values())


def _shape(unit: str, turn: int, wide: int, high: int, rarity: float) -> UnitShape | None:
    """Return a unit on a lattice; None where its shape or its seams don't lie on it."""
    kind = find_unit(unit)
    aspect = kind.ways[0].aspect
    own = (high, wide) if turn % 180 else (wide, high)
    if own[1] != aspect * own[0]:
        return None
    polygons = [[_turned(one, turn) for one in part.polygons] for part in kind.parts]
    where = _polygons_at([one for part in polygons for one in part], wide, high)
    if where is None:
        return None
    lines = tuple(line for line, one, other in _all_lines(wide, high) if where[one] != where[other])
    parts, first = [], 0
    for part in polygons:
        numbers = range(first, first + len(part))
        parts.append(tuple(tuple(n for n, at in enumerate(where) if at == k) for k in numbers))
        first += len(part)
    return UnitShape(unit, turn, wide, high, lines, tuple(parts), rarity)


def _turned(polygon: Polygon, turn: int) -> list[tuple[float, float]]:
    return [turned((float(x), float(y)), turn) for x, y in polygon]


def _polygons_at(
    polygons: list[list[tuple[float, float]]], wide: int, high: int
) -> list[int] | None:
    """Return which polygon each triangle lies in; None where one lies in several."""
    import numpy as np

    x, y = np.moveaxis(triangle_points(wide, high) / (wide, high), -1, 0)
    found = np.full(x.shape, -1)
    for number, corners in enumerate(polygons):
        ends = zip(corners, (*corners[1:], corners[0]), strict=True)
        inside = [(u - a) * (y - b) - (v - b) * (x - a) >= 0 for (a, b), (u, v) in ends]
        found[np.logical_and.reduce(inside) & (found < 0)] = number
    whole = (found == found[:, :1]).all() and (found >= 0).all()
    return [int(one) for one in found[:, 0]] if whole else None


def triangle_points(wide: int, high: int) -> NDArray[np.float64]:
    """Return three points near the corners of each triangle of so many cells, x and y in cells."""
    import numpy as np

    corners = np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)])
    middles = np.full((4, 2), 0.5)
    ends = np.stack([corners, np.roll(corners, -1, axis=0), middles], axis=1)
    inner = ends.mean(axis=1, keepdims=True)
    near = inner + _NEAR_ENDS * (ends - inner)
    rows, columns = np.divmod(np.arange(wide * high), wide)
    places = np.stack([columns, rows], axis=-1)
    found = places[:, None, None] + near[None]
    return np.asarray(found.reshape(-1, 3, 2), np.float64)


def _all_lines(wide: int, high: int) -> Iterator[tuple[Line, int, int]]:
    """Yield each short seam inside so many cells with the triangles on its two sides."""
    for r in range(high):
        for c in range(wide):
            own = 4 * (r * wide + c)
            if r + 1 < high:
                yield ("level", r, c, 0), own + LOWER, own + 4 * wide + UPPER
            if c + 1 < wide:
                yield ("upright", r, c, 0), own + RIGHT, own + 4 + LEFT
            for half, (one, other) in enumerate(HALVES):
                yield ("slanted", r, c, half), own + one, own + other
