"""Lines along which light falls steeply to one side, square after square.

Every pixel with a steep slope votes for the lines on which it may lie (Hough transform: Duda and
Hart 1972, Communications of the ACM 15, 11; with the slope's direction: Ballard 1981, Pattern
Recognition 13, 111), and against those on which light falls to the other side.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.light.reduced_view import ReducedView

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]

LOG_FLOOR = 0.004
"""Added to linear light before the logarithm, so that noise in a dark shadow stays small."""
SEARCH_DISTANCE = 1.5
"""How far from the squares the ground is searched, in sides of a square."""
SLOPE_BLUR = 0.05
"""Width of the slopes' filter, sides of a square: finer than a bar, wider than most penumbras."""
MIN_SLOPE = 0.3
"""Natural logarithm by which light has to change over that width for a pixel to vote."""
ANGLES = 180
"""Directions that are told apart, of a full turn: 2 degrees each."""
OFFSET_STEP = 0.04
"""Distance of lines that are told apart, sides of a square."""
VOTE_SPREAD = 3.0
"""Directions by which a print bends the slope of a shadow's border (standard deviation)."""
MAX_LINES = 40
"""Lines told: a window of nine panes over the whole photo has 12 borders, each of which may show as
several."""
VOTED_TURNS = 6
"""Directions to both sides of a slope's own for which it votes."""
NEAR_ANGLES, NEAR_OFFSETS = 4, 4
"""Directions and offsets around a line that are the same line."""


@dataclass(frozen=True, eq=False)
class ShadowGrid:
    """The photo on a coarse grid."""

    logs: Singles
    """(rows, columns, 3) natural logarithm of linear light."""
    pieces: NDArray[np.int32]
    """(rows, columns) 0 on ground near the squares, a square's number on it, -1 elsewhere."""
    side: float
    """Side of a square, cells."""

    @property
    def radius(self) -> float:
        """Half the diagonal, cells."""
        return float(np.hypot(*self.pieces.shape)) / 2.0


def shadow_grid(view: ReducedView) -> ShadowGrid:
    """Make the coarse copy of a photo."""
    import cv2

    light = view.grid_light
    size = light.shape[1::-1]
    inside = cv2.resize(view.inside, size, interpolation=cv2.INTER_NEAREST).astype(np.int32)
    outside = cv2.resize(view.outside, size, interpolation=cv2.INTER_NEAREST)
    ground = (outside > 0) & (outside < SEARCH_DISTANCE * view.side)
    logs = np.log(light + LOG_FLOOR)
    pieces = np.where((inside == 0) & ~ground, -1, inside)
    return ShadowGrid(logs.astype(np.float32), pieces.astype(np.int32), view.side * view.grid_scale)


def steep_lines(grid: ShadowGrid) -> list[tuple[float, float]]:
    """Return the angle and offset, sides, of lines along which light falls to one side."""
    import cv2

    angle, xs, ys = _slopes(grid)
    bins = int(2 * grid.radius / (OFFSET_STEP * grid.side))
    votes = np.zeros(ANGLES * bins)
    own = np.round(angle / (2 * np.pi) * ANGLES).astype(np.intp)
    toward = np.arange(ANGLES) * (2 * np.pi / ANGLES)
    cosine, sine = np.cos(toward), np.sin(toward)
    for turn in range(-VOTED_TURNS, VOTED_TURNS + 1):
        number = (own + turn) % ANGLES
        offset = (xs * cosine[number] + ys * sine[number]) / (2 * grid.radius) + 0.5
        place = np.clip((offset * bins).astype(np.intp), 0, bins - 1)
        weight = np.exp(-0.5 * (turn / VOTE_SPREAD) ** 2)
        votes += weight * np.bincount(number * bins + place, minlength=ANGLES * bins)
    count = cv2.GaussianBlur(votes.reshape(ANGLES, bins), (0, 0), 0.8)
    count = count - np.roll(count, ANGLES // 2, axis=0)[:, ::-1]
    lines = []
    for _ in range(MAX_LINES):
        row, column = np.unravel_index(int(count.argmax()), count.shape)
        offset = ((column + 0.5) / bins - 0.5) * 2 * grid.radius / grid.side
        lines.append((float(row * 2 * np.pi / ANGLES), float(offset)))
        rows = np.arange(row - NEAR_ANGLES, row + NEAR_ANGLES + 1) % ANGLES
        count[rows, max(column - NEAR_OFFSETS, 0) : column + NEAR_OFFSETS + 1] = 0.0
    return lines


def _slopes(grid: ShadowGrid) -> tuple[Floats, Floats, Floats]:
    """Return where light falls steeply within one piece: direction, and place from the middle."""
    import cv2

    blur = max(SLOPE_BLUR * grid.side, 1.2)
    smooth = cv2.GaussianBlur(grid.logs.mean(axis=2), (0, 0), blur)
    across = cv2.Sobel(smooth, cv2.CV_32F, 1, 0, scale=1 / 8)
    down = cv2.Sobel(smooth, cv2.CV_32F, 0, 1, scale=1 / 8)
    reach = np.ones((2 * round(1.2 * blur) + 1,) * 2)
    pieces = grid.pieces.astype(np.float32)
    alone = (grid.pieces >= 0) & (cv2.erode(pieces, reach) == cv2.dilate(pieces, reach))
    ys, xs = np.nonzero(alone & (np.hypot(across, down) * blur * np.sqrt(2 * np.pi) > MIN_SLOPE))
    angle = np.arctan2(-down[ys, xs], -across[ys, xs]).astype(np.float64)
    height, width = grid.pieces.shape
    return angle, xs + 0.5 - width / 2, ys + 0.5 - height / 2
