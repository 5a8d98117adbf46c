"""Units seen in a mirror: which unit, how turned and with which parts, each looks like then."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from catalog.cutting.unit_faces import turned
from catalog.cutting.units.face_shapes import Polygon
from catalog.cutting.units.unit_kind import UnitKind
from catalog.cutting.units.units_by_name import usual_units

Outline = frozenset[tuple[float, float]]
TURNS = (0, 180, 90, 270)
"""Degrees; those first that keep a unit's width and height."""


@dataclass(frozen=True)
class Mirrored:
    """A unit that looks like another one with left and right changed."""

    unit: str
    turn: int
    """Degrees clockwise."""
    parts: tuple[int, ...]
    """For each of its parts the part of the other that lies there."""


@cache
def mirrored(name: str) -> Mirrored | None:
    """Return what the unit of a name looks like in a mirror; None where no unit looks so.

    It is the same unit turned, where one such is; else another of as many parts.
    """
    known = {unit.name: unit for unit in usual_units() if unit.parts}
    own = known.get(name)
    if own is None:
        return None
    wanted = [_outlines(part.polygons, mirror=True) for part in own.parts]
    for unit in (own, *known.values()):
        if len(unit.parts) == len(own.parts):
            for turn in TURNS if _square(own) else TURNS[:2]:
                if found := _matched(unit, turn, wanted):
                    return Mirrored(unit.name, turn, found)
    return None


def _square(unit: UnitKind) -> bool:
    return unit.reshaped is None and unit.ways[0].aspect == 1


def _matched(
    unit: UnitKind, turn: int, wanted: Sequence[frozenset[Outline]]
) -> tuple[int, ...] | None:
    parts = [_outlines(part.polygons, turn=turn) for part in unit.parts]
    if sorted(map(len, parts)) != sorted(map(len, wanted)) or set(parts) != set(wanted):
        return None
    return tuple(wanted.index(one) for one in parts)


def _outlines(
    polygons: Sequence[Polygon], *, mirror: bool = False, turn: int = 0
) -> frozenset[Outline]:
    found = []
    for polygon in polygons:
        points = (turned((float(x), float(y)), turn) for x, y in polygon)
        found.append(frozenset((round(1 - x if mirror else x, 4), round(y, 4)) for x, y in points))
    return frozenset(found)
