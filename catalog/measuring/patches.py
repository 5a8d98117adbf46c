"""Each square cut out, laid flat and freed of its light."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog import camera
from catalog.models import Found, Light, Photo

Floats = NDArray[np.float32]

SIDE = 64
"""Pixels along a patch: 12 to the inch of a 5 in. square, finer than its print's motifs."""
MARGIN = 0.12
"""Inches left out along each edge: corners are good to 1/16 in., pinked teeth are 1/8 in. deep."""
FINEST = 3
"""The photo is read at up to this many points along each side of a patch's pixel."""


def cut(photo: Photo, found: Found, index: int, light: Light) -> tuple[Floats, Floats]:
    """Cut out one square.

    Returns
    -------
    cloth : (SIDE, SIDE, 3) float32
        Linear light as even, neutral light would show it.
    shown : (SIDE, SIDE) float32
        1 where the pixel is this square's cloth, 0 where something else may lie on it.
    """
    import cv2

    square = found.squares[index]
    quad = np.array(square.corners, np.float32)
    inner = (
        MARGIN
        / max(square.width_in, 4 * MARGIN)
        / (1 - 2 * MARGIN / max(square.width_in, 4 * MARGIN))
    )
    side_px = float(np.linalg.norm(quad - np.roll(quad, 1, axis=0), axis=1).mean())
    fine = int(np.clip(round(side_px / SIDE), 1, FINEST))
    n = SIDE * fine
    low, high = -inner * n, n + inner * n
    flat = np.array([[low, low], [high, low], [high, high], [low, high]], np.float32)
    to_flat = cv2.getPerspectiveTransform(quad - 0.5, flat - 0.5)
    pixels = cv2.warpPerspective(
        photo.pixels, to_flat, (n, n), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )
    cloth = cv2.resize(
        camera.to_linear(pixels, light.contrast, light.saturation),
        (SIDE, SIDE),
        interpolation=cv2.INTER_AREA,
    )
    to_photo = cv2.getPerspectiveTransform(flat / fine, quad)
    grid = np.arange(SIDE, dtype=np.float32) + 0.5
    places = np.stack(np.meshgrid(grid, grid), axis=-1).reshape(-1, 1, 2)
    where = cv2.perspectiveTransform(places, to_photo).reshape(SIDE, SIDE, 2)
    shown = np.ones((SIDE, SIDE), np.float32)
    return cloth / read_field(light, where, photo.pixels.shape), shown


def read_field(light: Light, where: Floats, shape: tuple[int, ...]) -> Floats:
    """Return tint times field, (..., 3), at points (rows, columns, 2) of the photo in px."""
    import cv2

    rows, columns = light.field.shape[:2]
    xs = where[..., 0] * (columns / shape[1]) - 0.5
    ys = where[..., 1] * (rows / shape[0]) - 0.5
    field = cv2.remap(
        light.field,
        xs.astype(np.float32),
        ys.astype(np.float32),
        cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    )
    return np.asarray(field * light.tint.astype(np.float32), np.float32)
