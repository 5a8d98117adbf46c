"""Frozen values of the faces of a quilt."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from catalog.cutting.laid_faces.laid_face import Face, Point
from catalog.models import Lab


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
