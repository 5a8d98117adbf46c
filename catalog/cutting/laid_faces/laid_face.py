"""Frozen values of polygons that show in a quilt."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final, Literal, SupportsFloat

from catalog.cutting.quilt_sizes.block_places import Crossing
from catalog.cutting.quilt_sizes.quilt_layout import Layout

FaceRole = Literal[
    "feature", "background", "small", "edge", "sashing", "post", "spacer", "border", "binding"
]
Point = tuple[float, float]
"""x to the right and y down, inches."""
FaceBox = tuple[float, float, float, float]
"""Left, top, width and height, inches."""
SLANT: Final = 45.0
"""Degrees clockwise of blocks in a quilt on point."""


@dataclass(frozen=True)
class Face:
    """What shows of one piece of cloth."""

    points: tuple[Point, ...]
    """Its corners in order: from the middle of its block before that is turned, or from the quilt's
    upper left corner."""
    middle: Point
    """Of the cell that its cloth is laid over, from the middle of the cloth."""
    size: Point
    """That cell's width and height, inches, before it is turned."""
    turn: float = 0.0
    """Degrees clockwise by which cloth lies turned from how it lies in its photo."""

    def laid(self, at: Point, turn: float) -> Face:
        """Return the face turned clockwise about (0, 0) and then moved."""
        return replace(
            self,
            points=laid_out(self.points, at, turn),
            middle=laid_out([self.middle], at, turn)[0],
            turn=self.turn + turn,
        )


@dataclass(frozen=True)
class LaidFace:
    """A face outside of blocks, and which part of the quilt it is."""

    face: Face
    role: FaceRole
    part: int | None = None
    """Of a unit that sashing or a border is pieced of, from 0; None in plain cloth."""
    border: int = 0
    """Which of the borders it belongs to, from 0 inside."""
    crossing: Crossing | None = None
    """Of a post in the sashing; None of one in a border's corner."""


def box_face(box: FaceBox, turn: float = 0.0) -> Face:
    """Return the face of a rectangle."""
    x, y, wide, high = box
    points = ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))
    return Face(points, (x + wide / 2, y + high / 2), (wide, high), turn)


def share_face(polygon: Iterable[tuple[SupportsFloat, SupportsFloat]], box: FaceBox) -> Face:
    """Return the face of a polygon that is told in shares of a box."""
    x, y, wide, high = box
    points = tuple((x + float(a) * wide, y + float(b) * high) for a, b in polygon)
    return Face(points, (x + wide / 2, y + high / 2), (wide, high))


def laid_out(points: Iterable[Point], at: Point, turn: float) -> tuple[Point, ...]:
    """Return points turned clockwise about (0, 0) and then moved."""
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    return tuple((at[0] + x * cos - y * sin, at[1] + x * sin + y * cos) for x, y in points)


def slant_of(layout: Layout) -> float:
    """Return how far the rows of a layout are turned, degrees clockwise."""
    return SLANT if layout.on_point else 0.0
