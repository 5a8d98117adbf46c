"""Where a drawn block may lie in a picture: four-sided outlines, the largest first."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Final

from numpy.typing import NDArray

if TYPE_CHECKING:
    import numpy as np
    from cv2.typing import MatLike

SEARCHED_SIDE: Final = 1000
"""Pixels of the longer side in which frames are sought."""
MIN_FRAME_SHARE: Final = 0.02
"""Of the picture; a smaller drawing has too few pixels a cell."""
MIN_FILLED: Final = 0.93
"""Share of a frame's four-sided outline that its hull fills."""
MIN_SHORTER_SIDE: Final = 0.35
"""Of the longer; a block of 16 cells is no band of 5."""
MIN_WHOLE_SIDE: Final = 60
"""Pixels of a picture's shorter side; a block of sixteen cells has four a cell then."""
SIDE_BAND: Final = 0.02
"""Share of a side within which points of an outline belong to it."""
MAX_FRAMES: Final = 6
SAME_FRAME: Final = 0.025
"""Share of a side by which the corners of one frame's two outlines differ, a thick line's two
edges."""


def frames_in(picture: NDArray[np.uint8]) -> list[NDArray[np.float64]]:
    """Return the four-sided outlines in a picture that may be a block's frame.

    Parameters
    ----------
    picture : (height, width, 3) uint8, RGB

    Returns
    -------
    list of (4, 2) float64
        Corners in px of the picture, clockwise from the upper left; the largest first.
    """
    import cv2
    import numpy as np

    scale = min(1.0, SEARCHED_SIDE / max(picture.shape[:2]))
    small = cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    found: list[tuple[float, NDArray[np.float64]]] = []
    for contour in _outlines(small):
        corners = _four_sides(contour, small.shape[0] * small.shape[1])
        if corners is not None:
            found.append((cv2.contourArea(corners.astype(np.float32)), corners))
    found.sort(key=lambda one: -one[0])
    kept: list[NDArray[np.float64]] = []
    for area, corners in found:
        near = SAME_FRAME * np.sqrt(area)
        if all(np.abs(corners - other).max() > near for other in kept):
            kept.append(corners)
    return [corners / scale for corners in kept[:MAX_FRAMES]]


def whole_frames(picture: NDArray[np.uint8]) -> list[NDArray[np.float64]]:
    """Return the picture's own corners, for a drawing cut out along its frame, if it can be one."""
    import numpy as np

    high, wide = picture.shape[:2]
    if min(high, wide) < max(MIN_WHOLE_SIDE, MIN_SHORTER_SIDE * max(high, wide)):
        return []
    return [np.array([(0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)])]


def _outlines(small: MatLike) -> Iterator[NDArray[np.int32]]:
    """Yield the outlines of all that stands out, by steps of colour and by darkness."""
    import cv2
    import numpy as np

    soft = cv2.GaussianBlur(small, (0, 0), 1.2)
    steps = np.zeros(small.shape[:2], np.uint8)
    for channel in cv2.split(cv2.cvtColor(soft, cv2.COLOR_RGB2LAB)):
        steps |= np.asarray(cv2.Canny(channel, 15, 40), np.uint8)
    grey = cv2.cvtColor(soft, cv2.COLOR_RGB2GRAY)
    dark = cv2.adaptiveThreshold(
        grey, 255, cv2.ADAPTIVE_THRESH_MEAN_C, cv2.THRESH_BINARY_INV, 51, 8
    )
    for mask, size in ((steps, 3), (steps, 7), (dark, 1)):
        closed = cv2.morphologyEx(mask, cv2.MORPH_CLOSE, np.ones((size, size), np.uint8))
        contours, _ = cv2.findContours(closed, cv2.RETR_LIST, cv2.CHAIN_APPROX_NONE)
        yield from (np.asarray(one, np.int32) for one in contours)


def _four_sides(contour: NDArray[np.int32], area: int) -> NDArray[np.float64] | None:
    """Return the four corners of an outline; None where it has no four sides."""
    import cv2

    if len(contour) < 40:
        return None
    hull = cv2.convexHull(contour)
    filled = cv2.contourArea(hull)
    if filled < MIN_FRAME_SHARE * area:
        return None
    around = cv2.arcLength(hull, True)
    for share in (0.015, 0.025, 0.04, 0.06):
        corners = cv2.approxPolyDP(hull, share * around, True).reshape(-1, 2)
        if len(corners) <= 4:
            break
    if len(corners) != 4 or not _is_frame(corners, filled):
        return None
    return _straightened(_in_order(corners.astype(float)), contour.reshape(-1, 2).astype(float))


def _is_frame(corners: MatLike, filled: float) -> bool:
    import cv2
    import numpy as np

    whole = cv2.contourArea(corners)
    sides = np.linalg.norm(corners - np.roll(corners, -1, axis=0), axis=1)
    wide, high = sides[0] + sides[2], sides[1] + sides[3]
    plump = min(wide, high) / max(wide, high) >= MIN_SHORTER_SIDE
    return bool(plump and MIN_FILLED <= filled / whole <= 2 - MIN_FILLED)


def _in_order(corners: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return corners clockwise from the upper left."""
    import numpy as np

    away = corners - corners.mean(axis=0)
    turning = corners[np.argsort(np.arctan2(away[:, 1], away[:, 0]))]
    first = int(np.argmin(turning.sum(axis=1)))
    return np.roll(turning, -first, axis=0)


def _straightened(
    corners: NDArray[np.float64], outline: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return the corners where straight lines through the outline's sides meet."""
    import cv2
    import numpy as np

    lines = []
    for start, end in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        along, long = end - start, float(np.linalg.norm(end - start))
        away = outline - start
        off = np.abs(along[0] * away[:, 1] - along[1] * away[:, 0]) / long
        place = away @ along / long**2
        own = outline[(off < SIDE_BAND * long + 2) & (place > 0.05) & (place < 0.95)]
        if len(own) < 8:
            return corners
        dx, dy, x, y = cv2.fitLine(own.astype(np.float32), cv2.DIST_HUBER, 0, 0.01, 0.01).ravel()
        lines.append((dy, -dx, dy * x - dx * y))
    met = []
    for one, other in zip([lines[-1], *lines], lines, strict=False):
        matrix = np.array([one[:2], other[:2]], float)
        if abs(np.linalg.det(matrix)) < 0.05:
            return corners
        met.append(np.linalg.solve(matrix, [one[2], other[2]]))
    return np.array(met) + 0.5
