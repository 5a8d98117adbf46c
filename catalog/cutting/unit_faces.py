"""Where the parts of a unit lie: its face as polygons, for drawing and for telling places.

All in shares of the unit's width and height, (0, 0) its top left corner; the unit as it lies
before it is turned. Half-square triangles run from the lower left to the upper right corner.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from catalog.cutting.units.face_shapes import Polygon
from catalog.cutting.units.unit_kind import UnitKind, UnitPart
from catalog.cutting.units.units_by_name import find_unit, usual_units
from catalog.errors import UsageError
from catalog.phrases import joined

_LOW, _HIGH = 0.4, 0.6
"""Shares of the block's side between which a place counts as the middle."""
Faces = tuple[tuple[Polygon, ...], ...]
"""For each part of the unit the polygons that show of it."""


class FaceTable(Mapping[str, Faces]):
    """The faces of the units that a block can be built of, by their names.

    Of units with numbers in their name it lists the usual and knows all. One whose sides are free
    has that of its usual shape here: `parts_in` knows it in any.
    """

    def __getitem__(self, name: str) -> Faces:
        """Return a unit's face; KeyError where a block can't hold such a unit."""
        try:
            parts = find_unit(name).parts
        except UsageError:
            raise KeyError(name) from None
        if not parts:
            raise KeyError(name)
        return tuple(part.polygons for part in parts)

    def __iter__(self) -> Iterator[str]:
        return (unit.name for unit in usual_units() if unit.parts)

    def __len__(self) -> int:
        return sum(1 for _ in self)


FACES: Final = FaceTable()
"""In the order of the parts that the unit's own file tells."""


def parts_in(unit: str, wide: int, high: int) -> tuple[UnitPart, ...]:
    """Return the parts of a unit as it covers so many cells of a block, before it is turned."""
    return find_unit(unit).in_shape(wide, high).parts


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


def names_of(points: list[tuple[float, float]]) -> list[str]:
    """Name where points lie, in shares of a side, each name once, from the top."""
    named: dict[str, None] = {}
    for x, y in sorted(points, key=lambda p: (round(p[1], 6), round(p[0], 6))):
        down = "upper" if y < _LOW else "lower" if y > _HIGH else ""
        across = "left" if x < _LOW else "right" if x > _HIGH else ""
        if down and not across:
            down = "top" if down == "upper" else "bottom"
        named[f"{down} {across}".strip() or "middle"] = None
    return list(named)


def part_names(unit: UnitKind) -> list[str]:
    """Return what the parts of a unit are called: as the trade does, or by where they lie."""
    return [
        part.name or f"{joined(names_of([middle(one) for one in part.polygons]))} {part.shape}"
        for part in unit.parts
    ]
