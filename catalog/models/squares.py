"""A photo and the squares of cloth that it shows."""

from __future__ import annotations

from dataclasses import dataclass
from math import dist
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.models.reference_pages import SeenPage

Point = tuple[float, float]
"""x, y in pixels; (0, 0) is the outer corner of the top-left pixel."""
Corners = tuple[Point, Point, Point, Point]
"""Clockwise in the picture, from the corner that is top-left when the square is read in its row."""


@dataclass(frozen=True, eq=False)
class Photo:
    """A decoded photograph."""

    name: str
    """The file's name without its folder."""
    pixels: NDArray[np.uint8]
    """(height, width, 3), RGB, upright, sRGB."""

    def __post_init__(self) -> None:
        shape = self.pixels.shape
        if len(shape) != 3 or shape[2] != 3 or self.pixels.dtype != np.uint8:
            msg = f"expected uint8 (height, width, 3), got {self.pixels.dtype} {shape}"
            raise ValueError(msg)


RIGHT_AS_FOUND: Final = "right as found"
"""Flag of a square that a person has said to be right: no other flag of it is a doubt any more."""


@dataclass(frozen=True)
class Square:
    """One square of cloth as the photo shows it."""

    corners: Corners
    row: int | None
    """From 1, downwards; None where the squares lie in no rows."""
    col: int | None
    """From 1, to the right."""
    width_in: float
    """Mean of the top and bottom side, inches; on the scale of ``--square`` unless ``absolute``."""
    height_in: float
    """Mean of the left and right side, inches."""
    confidence: float
    """0 to 1: how sure it is that this is a whole square of cloth with these corners."""
    flags: tuple[str, ...] = ()
    """Doubts, each a short word or two, such as ``odd size``."""
    absolute: bool = False
    """Whether a reference page in the photo says how long an inch is."""
    said_in: float = 0.0
    """What the squares of its photo are said to measure, inches, where that is another size than
    the bundle's; else 0."""

    def __post_init__(self) -> None:
        if len(self.corners) != 4:
            msg = f"expected 4 corners, got {len(self.corners)}"
            raise ValueError(msg)
        if not 0.0 <= self.confidence <= 1.0:
            msg = f"expected a confidence from 0 to 1, got {self.confidence}"
            raise ValueError(msg)


def label_of(square: Square, number: int) -> str:
    """Return a square's label: ``R3C4`` in rows, else ``S017`` by its number, from 1."""
    if square.row is None or square.col is None:
        return f"S{number:03d}"
    return f"R{square.row}C{square.col}"


def mean_side(corners: Corners | NDArray[np.floating]) -> float:
    """Return the mean length of a quadrilateral's sides."""
    one, two, three, four = corners
    return (dist(one, two) + dist(two, three) + dist(three, four) + dist(four, one)) / 4.0


def within(
    points: NDArray[np.float64], quads: NDArray[np.float64], deep: float = 0.0
) -> NDArray[np.bool_]:
    """Tell which points lie so deep, in sides, in n quadrilaterals that run clockwise, (n, m).

    ``points`` are (n, m, 2), or (m, 2) to look for them in all.
    """
    side = np.roll(quads, -1, axis=1) - quads
    length = np.linalg.norm(side, axis=2)
    normal = np.stack([-side[..., 1], side[..., 0]], axis=1)
    reach = deep * length.mean(axis=1, keepdims=True) * length + (normal * quads.mT).sum(axis=1)
    return np.asarray((points @ normal > reach[:, None]).all(axis=2))


@dataclass(frozen=True)
class Found:
    """The squares of one photo, in reading order."""

    squares: tuple[Square, ...]
    pixels_per_inch: float
    """Mean over the squares; 0 where there are none."""
    cut_off: int = 0
    """Squares that the frame cuts; they are not among ``squares``."""
    chart_patches: int = 0
    """Patches of a colour chart that looked like squares; they are not among ``squares``."""
    page: SeenPage | None = None
    """The reference page beside the squares."""
    scale_doubt: float | None = None
    """The part by which all sizes may be off where the page tells them; else None."""
