"""Each square cut out, laid flat and freed of its light."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog import camera
from catalog.models import Found, Light, Photo, Square

Floats = NDArray[np.float32]

SIDE = 64
"""Pixels along a patch: 12 to the inch of a 5 in. square, finer than its print's motifs."""
MARGIN = 0.12
"""Inches left out along each edge: corners are good to 1/16 in., pinked teeth are 1/8 in. deep."""
FINEST = 3
"""The photo is read at up to this many points along each side of a patch's pixel."""
AROUND = np.linspace(-0.5 * SIDE, 1.5 * SIDE, 17, dtype=np.float32)
"""Where the light round a square is read, px of the patch."""
BRIGHTEST = 253
"""Pixels from here on, of 255, are taken for clipped."""
LEAST_SHOWN = 0.25
"""Share of a patch that its neighbours have to leave free; else they are not minded."""


@dataclass(frozen=True, eq=False)
class Cloth:
    """One square cut out."""

    even: Floats
    """(SIDE, SIDE, 3) linear light as even, neutral light would show it."""
    shown: Floats
    """(SIDE, SIDE) 1 where the pixel is this square's cloth, 0 where something lies over it."""
    around: Floats
    """(n, n, 3) the light over it and half a side beyond, 1 for the mean of the photo's squares."""
    clipped: float
    """Share of its pixels that the camera clipped."""


def cut(photo: Photo, found: Found, index: int, light: Light) -> Cloth:
    """Cut out one square.

    Parameters
    ----------
    photo, found, light
        The picture, its squares and its light.
    index : int
        Which of the squares, from 0.
    """
    import cv2

    quad = np.array(found.squares[index].corners, np.float32)
    flat = _laid_flat(found.squares[index])
    side = float(np.linalg.norm(quad - np.roll(quad, 1, axis=0), axis=1).mean())
    fine = int(np.clip(round(side / SIDE), 1, FINEST))
    to_flat = cv2.getPerspectiveTransform(quad - 0.5, flat * fine - 0.5)
    size = (SIDE * fine, SIDE * fine)
    pixels = cv2.warpPerspective(
        photo.pixels, to_flat, size, flags=cv2.INTER_NEAREST, borderMode=cv2.BORDER_REPLICATE
    )
    tone = camera.Tone(light.contrast, light.saturation, light.power)
    linear = tone.linear(np.asarray(pixels, np.uint8))
    cloth = cv2.resize(linear, (SIDE, SIDE), interpolation=cv2.INTER_AREA)
    to_photo = np.asarray(cv2.getPerspectiveTransform(flat, quad), np.float64)
    field = _field(light, to_photo, photo.pixels.shape)
    shown = _free_of_neighbours(found, index, np.asarray(np.linalg.inv(to_photo), np.float64))
    even = cloth / field
    if light.mixing is not None:
        mixing = light.mixing.astype(np.float32)
        even = np.maximum(even @ mixing[:, :3].T + mixing[:, 3], 0.0)
    clipped = float((pixels[::fine, ::fine] >= BRIGHTEST).any(axis=2).mean())
    around = _light_at(light, to_photo, photo.pixels.shape, AROUND)
    return Cloth(np.asarray(even, np.float32), shown, around, clipped)


def _laid_flat(square: Square) -> Floats:
    """Return where the corners lie, px of the patch, so that the margin falls outside it."""
    width = SIDE / max(1.0 - 2.0 * MARGIN / max(square.width_in, 4.0 * MARGIN), 0.5)
    low, high = (SIDE - width) / 2.0, (SIDE + width) / 2.0
    return np.array([[low, low], [high, low], [high, high], [low, high]], np.float32)


def _field(light: Light, to_photo: NDArray[np.float64], shape: tuple[int, ...]) -> Floats:
    """Return tint times field at the patch's pixels."""
    steps = np.arange(SIDE, dtype=np.float32) + 0.5
    return np.asarray(_light_at(light, to_photo, shape, steps) * light.tint.astype(np.float32))


def _light_at(
    light: Light, to_photo: NDArray[np.float64], shape: tuple[int, ...], steps: Floats
) -> Floats:
    """Return the light's field on a mesh of steps along the patch, px of the patch."""
    import cv2

    places = np.stack(np.meshgrid(steps, steps), axis=-1).reshape(-1, 1, 2)
    where = cv2.perspectiveTransform(places, to_photo).reshape(len(steps), len(steps), 2)
    rows, columns = light.field.shape[:2]
    xs = where[..., 0] * (columns / shape[1]) - 0.5
    ys = where[..., 1] * (rows / shape[0]) - 0.5
    edge = cv2.BORDER_REPLICATE
    return np.asarray(cv2.remap(light.field, xs, ys, cv2.INTER_LINEAR, borderMode=edge))


def _free_of_neighbours(found: Found, index: int, to_flat: NDArray[np.float64]) -> Floats:
    """Mark the patch's pixels that no other square's outline covers.

    Which of two overlapping squares lies on top is not known, so both give the overlap up.
    """
    import cv2

    shown = np.ones((SIDE, SIDE), np.float32)
    quads = np.array([square.corners for square in found.squares], np.float32)
    low, high = quads.min(axis=1), quads.max(axis=1)
    close = ((low < high[index]) & (high > low[index])).all(axis=1)
    close[index] = False
    for quad in quads[close]:
        there = cv2.perspectiveTransform(quad[None], to_flat)[0]
        there = np.clip(there - 0.5, -8.0 * SIDE, 8.0 * SIDE)
        cv2.fillConvexPoly(shown, np.round(there * 16).astype(np.int32), 0.0, shift=4)
    return shown if shown.mean() >= LEAST_SHOWN else np.ones_like(shown)
