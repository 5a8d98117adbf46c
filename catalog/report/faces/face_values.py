"""Frozen values of the faces of a quilt."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from catalog.models import Lab

Point = tuple[float, float]
"""x to the right and y down, inches."""
FaceBox = tuple[float, float, float, float]
"""Left, top, width and height, inches."""


@dataclass(frozen=True)
class Filling:
    """What a face is cut from: a square of the bundle, or bought cloth; neither where it wants."""

    cloth: str = ""
    """Name of a bought cloth."""
    square: str = ""
    """Label of a square."""


WANTS: Filling = Filling()
"""A square that there isn't."""


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
class FilledFace:
    """A face that lies in the quilt."""

    face: Face
    filling: Filling


@dataclass(frozen=True)
class HungBlock:
    """What fills the faces of the block at a place."""

    place: str
    kind: int
    """Which of the quilt's blocks it is, from 0."""
    middle: Point
    """From the quilt's upper left corner."""
    turn: float
    """Degrees clockwise of the whole block, its slant in a quilt on point with it."""
    fillings: tuple[Filling, ...]
    """Of the faces of its kind, in their order."""
    turns: Mapping[int, int]
    """By the number of a face, how its cloth lies turned in the block where that isn't as its kind
    says: prints that run one way hang upright."""


@dataclass(frozen=True)
class HungQuilt:
    """All that shows of a quilt."""

    wide: float
    """Inches, borders and all; what lies outside doesn't show."""
    long: float
    cloths: Mapping[str, Lab]
    """The bought cloths that show, by name."""
    kinds: tuple[tuple[Face, ...], ...]
    """The faces of each of its blocks."""
    under: tuple[FilledFace, ...]
    """What blocks lie on or beside: edges, strips and posts."""
    hung: tuple[HungBlock, ...]
    """In the order of sewing."""
    over: tuple[FilledFace, ...]
    """Borders and binding, drawn last."""


def box_face(box: FaceBox, turn: float = 0.0) -> Face:
    """Return the face of a rectangle."""
    x, y, wide, high = box
    points = ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))
    return Face(points, (x + wide / 2, y + high / 2), (wide, high), turn)


def laid_out(points: Iterable[Point], at: Point, turn: float) -> tuple[Point, ...]:
    """Return points turned clockwise about (0, 0) and then moved."""
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    return tuple((at[0] + x * cos - y * sin, at[1] + x * sin + y * cos) for x, y in points)
