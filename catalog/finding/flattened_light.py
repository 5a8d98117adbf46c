"""A photo with its light made even and its contrast stretched, for cloth that is like its ground.

White cloth on a white sheet steps by a few levels only, less than the light falls off from one side
of the photo to the other, and less than the shadows that curled edges cast. Once it is known
roughly where the squares lie, the ground between them tells the light's field. The photo divided by
it has a ground of one level, from which cloth stands out by as much as it differs.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from catalog.finding.edges.edge_profile import band_colours
from catalog.finding.shared_plane import Plane

Array = NDArray[np.float64]

MAX_ALIKE_STEP = 20.0
"""Levels by which cloth and ground differ at most to be alike: the median over the sides is 13 on
the one photo of white cloth on a sheet, 31 on another with few such squares, which gains nothing by
this, and 60 or more on all others (dev, harder, real cloth)."""
MIN_UNCOVERED = 0.7
"""Sides of which less is seen say nothing of the ground."""
ALONG = np.linspace(0.12, 0.88, 24)
OFFSETS = np.array([-0.05, -0.04, -0.03, -0.02, 0.02, 0.03, 0.04, 0.05])
"""Places along a side and across it, in sides, at which cloth and ground are held together: beyond
the shadow at the edge and what the first look may be off."""
GAIN = 240.0
"""Levels to a natural logarithm of linear light (corners of the white sheet's squares: 0.024 in at
120, 0.016 at 180, 0.014 at 240, 0.019 at 360)."""
GAMMA = 2.2
DEGREE = 3
"""Of the polynomial that the logarithm of the light's field is."""
GROUND_BEYOND = 1.1
"""Squares are enlarged by this about their middles: what lies in them is no ground."""
CELL_PX = 16
"""Pixels of the photo to a sample of the ground, in both directions."""
MIN_SAMPLES = 300
"""Fewer samples can't carry the polynomial's ten terms."""
OUTLIER = 0.05
"""Residuals of the ground, in natural logarithms, beyond which samples count less: shadows,
things that lie about."""
ITERATIONS = 8


def alike(levels: list[NDArray[np.uint8]], plane: Plane, corners: Array, shown: Array) -> bool:
    """Whether most sides of squares (n, 4, 2) in the plane step by next to nothing to the ground.

    Parameters
    ----------
    levels : list of (height, width, 3) uint8
        The photo, then halves of it.
    plane : Plane
        From the photo to the cloth.
    corners : (n, 4, 2)
        In the plane, clockwise.
    shown : (n, 4)
        Part of each side that no other square covers.
    """
    seen = shown > MIN_UNCOVERED
    if not seen.any():
        return False
    (colours,) = band_colours(levels, plane, corners, ALONG, OFFSETS, len(corners))
    cloth, ground = (
        part.mean(axis=(2, 3)) for part in np.split(colours.astype(np.float32), 2, axis=3)
    )
    return bool(np.median(np.linalg.norm(ground - cloth, axis=-1)[seen]) < MAX_ALIKE_STEP)


def flattened(pixels: NDArray[np.uint8], quads: Array) -> NDArray[np.uint8] | None:
    """Divide a photo by the light's field on its ground, and stretch what is left.

    Parameters
    ----------
    pixels : (height, width, 3) uint8
        Upright sRGB.
    quads : (n, 4, 2)
        Where squares lie, px.

    Returns
    -------
    (height, width, 3) uint8
        The ground at about 127; None where too little of it is seen.
    """
    logs = (GAMMA * np.log(np.maximum(np.arange(256), 1) / 255)).astype(np.float32)
    size = (pixels.shape[1] // CELL_PX, pixels.shape[0] // CELL_PX)
    small: NDArray[np.float32] = logs[cv2.resize(pixels, size, interpolation=cv2.INTER_AREA)]
    ground = _ground(small.shape, quads / CELL_PX)
    if ground.sum() < MIN_SAMPLES:
        return None
    field = _field(small.mean(axis=2), ground)
    usual = np.median((small - field[..., None])[ground], axis=0)
    whole = cv2.resize(field, pixels.shape[1::-1], interpolation=cv2.INTER_LINEAR)
    out = np.empty_like(pixels)
    for channel in range(3):
        even = logs[pixels[..., channel]] - whole
        out[..., channel] = np.clip(127.5 + GAIN * (even - usual[channel]), 0, 255)
    return out


def _ground(shape: tuple[int, ...], quads: Array) -> NDArray[np.bool_]:
    mask = np.ones(shape[:2], np.uint8)
    middle = quads.mean(axis=1, keepdims=True)
    for quad in np.round(middle + GROUND_BEYOND * (quads - middle)).astype(np.int32):
        cv2.fillConvexPoly(mask, quad, 0)
    return mask > 0


def _field(logs: NDArray[np.float32], ground: NDArray[np.bool_]) -> NDArray[np.float32]:
    """A polynomial, (height, width), through logarithms of light where they are ground."""
    y, x = (np.linspace(-1, 1, count) for count in logs.shape)
    terms = np.stack(
        [np.outer(y**j, x**i) for i in range(DEGREE + 1) for j in range(DEGREE + 1 - i)],
        axis=-1,
    )
    at, known = terms[ground], logs[ground].astype(np.float64)
    weight = np.ones(len(known))
    for _ in range(ITERATIONS):
        found = np.linalg.lstsq(at * weight[:, None], known * weight, rcond=None)[0]
        weight = 1 / np.hypot(1, (known - at @ found) / OUTLIER)
    return np.asarray(terms @ found, np.float32)
