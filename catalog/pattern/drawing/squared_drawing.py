"""A drawing squared: its frame made a rectangle, its light evened, and what shows in each pixel."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from numpy.typing import NDArray

if TYPE_CHECKING:
    import numpy as np
    from cv2.typing import MatLike

SIDE: Final = 600
"""Pixels of the squared drawing's longer side: 37 for a cell of 16."""
LINE_WIDTH: Final = 0.035
"""Share of the side that the widest seam line is narrower than."""
HATCHING: Final = 0.014
"""Share of the side over which hatching is smoothed to see where it ends."""
CROWD: Final = 0.08
"""Share of the side within which lines crowd."""
CROWDED: Final = 0.32
"""Share of such a square that thin lines cover where they are a fill; four seams that meet cover
0.3."""
SMOOTHING: Final = 0.006
"""Share of the side over which a drawing is smoothed before its lines are sought: hatching of a
hundred lines to the side is gone, a line of pencil is not."""
INSET: Final = 0.011
"""Share of the half diagonal by which a frame's corners are found too far out, by half of its line
and what smoothing adds (measured: 0.8 % of the side in the mean of eighty drawings)."""
RING: Final = 0.09
"""Share of the side round the frame in which paper is looked for."""


@dataclass(frozen=True, eq=False)
class SquaredDrawing:
    """A drawing in its own plane."""

    lab: NDArray[np.float32]
    """(height, width, 3), CIELAB in even light, paper near L 95."""
    ridges: NDArray[np.float32]
    """(height, width), how much darker or lighter a pixel is than both sides of it, in L."""
    texture: NDArray[np.float32]
    """(height, width, 3), local contrast in L, and its direction times it (cosine and sine of twice
    the angle)."""
    edges: NDArray[np.float32]
    """(height, width), how strong a line or a step of colour runs there; 0 where none does."""
    crowded: NDArray[np.bool_]
    """(height, width), where lines or dots crowd so that they are a fill."""
    aspect: float
    """Height over width, as the view of the frame tells it."""


def squared(picture: MatLike, corners: NDArray[np.float64]) -> SquaredDrawing:
    """Return a drawing in its own plane.

    Parameters
    ----------
    picture : (height, width, 3) uint8, RGB
    corners : (4, 2) float64
        Of its frame, clockwise from the upper left.
    """
    import cv2
    import numpy as np

    aspect = aspect_of(corners, picture.shape[1], picture.shape[0])
    corners = corners + INSET * (corners.mean(axis=0) - corners)
    wide, high = (SIDE, round(SIDE * aspect)) if aspect <= 1 else (round(SIDE / aspect), SIDE)
    ring = round(RING * SIDE)
    target = np.array([(0, 0), (wide, 0), (wide, high), (0, high)]) + ring
    matrix = cv2.getPerspectiveTransform(corners.astype(np.float32), target.astype(np.float32))
    size = (wide + 2 * ring, high + 2 * ring)
    shrink = np.sqrt(cv2.contourArea(corners.astype(np.float32)) / (wide * high))
    if shrink > 1.5:
        picture = cv2.GaussianBlur(picture, (0, 0), 0.4 * shrink)
    flat = cv2.warpPerspective(picture, matrix, size, borderMode=cv2.BORDER_REPLICATE)
    even = _even(flat.astype(np.float32) / 255, ring)
    inner = even[ring : ring + high, ring : ring + wide]
    lab = np.asarray(cv2.cvtColor(np.ascontiguousarray(inner), cv2.COLOR_RGB2LAB), np.float32)
    ridges, texture = _ridges(lab[..., 0]), _texture(lab[..., 0])
    crowded = _crowded(lab[..., 0])
    edges = _edges(lab, ridges, texture, crowded)
    return SquaredDrawing(lab, ridges, texture, edges, crowded, aspect)


def aspect_of(corners: NDArray[np.float64], wide: int, high: int) -> float:
    """Return a frame's height over width, from how its sides run together.

    Zhang and He, "Whiteboard scanning and image enhancement" (2007), equations 11 to 20, with the
    principal point in the picture's middle; the mean of opposite sides where they hardly do.
    """
    import numpy as np

    sides = np.linalg.norm(corners - np.roll(corners, -1, axis=0), axis=1)
    plain = float((sides[1] + sides[3]) / (sides[0] + sides[2]))
    centred = np.column_stack([corners - (wide / 2, high / 2), np.ones(4)])
    m1, m2, m4, m3 = centred
    k2 = np.dot(np.cross(m1, m4), m3) / np.dot(np.cross(m2, m4), m3)
    k3 = np.dot(np.cross(m1, m4), m2) / np.dot(np.cross(m3, m4), m2)
    n2, n3 = k2 * m2 - m1, k3 * m3 - m1
    found = plain
    if abs(n2[2] * n3[2]) > 1e-3:
        squared_focal = -(n2[0] * n3[0] + n2[1] * n3[1]) / (n2[2] * n3[2])
        if (0.4 * wide) ** 2 < squared_focal < (6 * wide) ** 2:
            weights = np.array([1, 1, squared_focal])
            found = float(np.sqrt((n3**2 * weights).sum() / (n2**2 * weights).sum()))
    if abs(found / plain - 1) > 0.35:
        found = plain
    return found


def _even(flat: MatLike, ring: int) -> NDArray[np.float32]:
    """Return the drawing as if its paper were evenly white.

    The light is a plane in the logarithm, fitted to the brighter half of the paper in the ring
    round the frame, whose sides each have their say.
    """
    import numpy as np

    high, wide = flat.shape[:2]
    y, x = np.mgrid[-1 : 1 : high * 1j, -1 : 1 : wide * 1j].astype(np.float32)
    outside = np.ones((high, wide), bool)
    outside[ring // 2 : high - ring // 2, ring // 2 : wide - ring // 2] = False
    value = flat.mean(axis=2)
    bright = np.zeros_like(outside)
    for own in (x < -0.8, x > 0.8, y < -0.8, y > 0.8):
        part = outside & own
        bright |= part & (value >= np.quantile(value[part], 0.6))
    terms = np.stack([np.ones_like(x), x, y], axis=-1)
    logs = np.log(np.maximum(flat, 0.02))
    paper = np.maximum(np.median(flat[bright], axis=0), 0.02)
    fitted, *_ = np.linalg.lstsq(terms[bright], logs[bright], rcond=None)
    field = np.exp(np.clip(terms @ fitted, np.log(paper) - 1, np.log(paper) + 1))
    return np.asarray(np.clip(0.95 * flat / np.maximum(field, 0.03), 0, 1), np.float32)


def _ridges(light: MatLike) -> NDArray[np.float32]:
    import cv2
    import numpy as np

    size = round(LINE_WIDTH * SIDE) | 1
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (size, size))
    soft = cv2.GaussianBlur(light, (0, 0), 0.8)
    dark = cv2.morphologyEx(soft, cv2.MORPH_BLACKHAT, kernel)
    bright = cv2.morphologyEx(soft, cv2.MORPH_TOPHAT, kernel)
    return np.asarray(np.maximum(dark, bright), np.float32)


def _texture(light: MatLike) -> NDArray[np.float32]:
    import cv2
    import numpy as np

    soft = cv2.GaussianBlur(light, (0, 0), 1.0)
    dx, dy = cv2.Sobel(soft, cv2.CV_32F, 1, 0), cv2.Sobel(soft, cv2.CV_32F, 0, 1)
    strength = np.hypot(dx, dy)
    angle = 2 * np.arctan2(dy, dx)
    ways = [strength, strength * np.cos(angle), strength * np.sin(angle)]
    return np.stack(ways, axis=-1).astype(np.float32)


def _edges(
    lab: MatLike,
    ridges: MatLike,
    texture: MatLike,
    crowded: NDArray[np.bool_],
) -> NDArray[np.float32]:
    """Return how strong a line or a step runs through each pixel, 0 where none does.

    Where lines crowd they are a fill's hatching: there it is where one fill ends that counts.
    """
    import cv2
    import numpy as np

    smooth = cv2.GaussianBlur(ridges, (0, 0), SMOOTHING * SIDE)
    lines = _middles(smooth)
    size = round(LINE_WIDTH * SIDE) | 1
    beside = cv2.dilate(lines.astype(np.uint8), np.ones((size, size), np.uint8)) > 0
    steps = _steps(cv2.GaussianBlur(lab, (0, 0), SMOOTHING * SIDE))
    clear = np.where(lines, smooth, np.where(beside, 0, steps))
    fills = np.dstack([lab, texture])
    ends = _steps(cv2.GaussianBlur(fills, (0, 0), HATCHING * SIDE))
    return np.minimum(np.where(crowded, 2 * ends, clear), 40).astype(np.float32)


def _steps(soft: MatLike) -> NDArray[np.float32]:
    """Return how steep the steps of smoothed channels are along their middles, else 0."""
    import cv2
    import numpy as np

    steps = np.zeros(soft.shape[:2], bool)
    slope = np.zeros(soft.shape[:2], np.float32)
    for channel in cv2.split(soft):
        low = float(channel.min())
        shown = np.clip((channel - low) * 255 / max(float(np.ptp(channel)), 60), 0, 255)
        steps |= cv2.Canny(shown.astype(np.uint8), 12, 30) > 0
        dx, dy = (cv2.Sobel(channel, cv2.CV_32F, *way) / 8 for way in ((1, 0), (0, 1)))
        slope = np.maximum(slope, np.hypot(dx, dy))
    return np.where(steps, 6 * slope, 0).astype(np.float32)


def _crowded(light: MatLike) -> NDArray[np.bool_]:
    """Say where thin lines or dots lie so close together that they are a fill."""
    import cv2
    import numpy as np

    soft = cv2.GaussianBlur(light, (0, 0), 0.8)
    kernel = np.ones((9, 9), np.uint8)
    thin = cv2.morphologyEx(soft, cv2.MORPH_BLACKHAT, kernel) > 10
    wide = round(CROWD * SIDE) | 1
    return np.asarray(cv2.blur(thin.astype(np.float32), (wide, wide)) > CROWDED)


def _middles(soft: MatLike) -> NDArray[np.bool_]:
    """Return the middles of lines: brighter than what lies to both sides in one of four ways."""
    import cv2
    import numpy as np

    size = round(1.4 * LINE_WIDTH * SIDE) | 1
    level = np.zeros((size, size), np.uint8)
    level[size // 2] = 1
    slanted = np.eye(size, dtype=np.uint8)
    found = np.zeros(soft.shape, bool)
    for kernel in (level, level.T.copy(), slanted, slanted[::-1].copy()):
        top, low = cv2.dilate(soft, kernel), cv2.erode(soft, kernel)
        found |= (soft >= top - 0.2) & (soft > 6) & (low < 0.4 * soft)
    return found
