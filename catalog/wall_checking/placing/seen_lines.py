"""The straight lines of a wall: sides of blocks and seams, where no squares tell how it hangs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.finding.shared_plane import tilted_plane
from catalog.models import Photo
from catalog.system.one_thread import least_squares_on_one_thread
from catalog.wall_checking.placing.seen_squares import FlatPicture

Floats = NDArray[np.float64]

LINES_PX = 900
"""Long side of the photo in which lines are looked for: seams are still a pixel wide."""
MIN_LINE_SHARE = 0.02
"""Length of a line, of the photo's long side, below which it belongs to a print."""
MIN_LINES = 12
ON_AXIS_RAD = 0.05
"""Within which a line lies along an axis of the wall: loose blocks hang up to 2 degrees askew."""
USUAL_TILT = 0.35
"""Of the vanishing line, in half diagonals: 25 degrees."""
ANGLE_ERROR_RAD = 0.02


@dataclass(frozen=True, eq=False)
class SeenLines(FlatPicture):
    """Lines along the axes of the wall; the flat picture's unit is half the photo's diagonal."""

    at: tuple[Floats, Floats]
    """Of those up and down their places from the left, of those across theirs from the top."""
    length: tuple[Floats, Floats]


def see_lines(photo: Photo) -> SeenLines | None:
    """Look for the lines of a wall; None where a photo shows too few.

    Parameters
    ----------
    photo : Photo
        As large as is wanted.
    """
    import cv2

    shape = (photo.pixels.shape[0], photo.pixels.shape[1])
    shrink = min(1.0, LINES_PX / max(shape))
    size = (max(8, round(shape[1] * shrink)), max(8, round(shape[0] * shrink)))
    small = cv2.resize(photo.pixels, size, interpolation=cv2.INTER_AREA)
    found = cv2.createLineSegmentDetector().detect(cv2.cvtColor(small, cv2.COLOR_RGB2GRAY))[0]
    ends = np.zeros((0, 2, 2)) if found is None else found.reshape(-1, 2, 2).astype(np.float64)
    ends = (ends + 0.5) * (shape[1] / size[0])
    ends = ends[np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1) > MIN_LINE_SHARE * max(shape)]
    if len(ends) < MIN_LINES:
        return None
    tilt, turn = _flattened(ends, shape)
    flat = FlatPicture(tilted_plane(tilt, shape), turn, shape)
    ends = flat.to_flat(ends)
    way = ends[:, 1] - ends[:, 0]
    length = np.linalg.norm(way, axis=1)
    upright = np.abs(way[:, 0]) < ON_AXIS_RAD * length
    level = np.abs(way[:, 1]) < ON_AXIS_RAD * length
    middle = ends.mean(axis=1)
    return SeenLines(
        flat.plane,
        turn,
        shape,
        (middle[upright, 0], middle[level, 1]),
        (length[upright], length[level]),
    )


def _flattened(ends: Floats, shape: tuple[int, int]) -> tuple[Floats, float]:
    """Return the tilt (2,) and turn under which most lines lie along two axes."""
    least_squares = least_squares_on_one_thread()
    weight = np.sqrt(np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1))
    weight /= weight.max()

    def angles(x: Floats) -> Floats:
        flat = tilted_plane(x[:2], shape).to_plane(ends)
        way = (flat[:, 1] - flat[:, 0]) @ (1, 1j)
        return np.asarray(np.angle((way * np.exp(-1j * x[2])) ** 4) / 4.0, np.float64)

    def residuals(x: Floats) -> Floats:
        return np.concatenate([weight * angles(x) / ANGLE_ERROR_RAD, x[:2] / USUAL_TILT])

    first = np.angle(((weight**2) * np.exp(4j * angles(np.zeros(3)))).sum()) / 4.0
    starts = [np.array([0.0, 0.0, turn]) for turn in (first, first + np.pi / 4.0)]
    fits = [least_squares(residuals, start, loss="cauchy") for start in starts]
    best = min(fits, key=lambda fit: float(fit.cost))
    turn = (best.x[2] + np.pi / 4.0) % (np.pi / 2.0) - np.pi / 4.0
    return np.asarray(best.x[:2], np.float64), float(turn)
