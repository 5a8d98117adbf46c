"""Squares cut out, laid flat and freed of its light."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.colour import camera_response
from catalog.models import Found, Light, Photo, Square, mean_side

Floats = NDArray[np.float32]

PATCH_PX = 64
"""Pixels along a patch: 12 to the inch of a 5 in. square, finer than its print's motifs."""
EDGE_MARGIN_IN = 0.12
"""Inches left out along each edge: corners are good to 1/16 in., pinked teeth are 1/8 in. deep."""
MAX_SUPERSAMPLING = 3
"""The photo is read at up to this many points along each side of a patch's pixel."""
SURROUNDINGS_PX = np.linspace(-0.5 * PATCH_PX, 1.5 * PATCH_PX, 17, dtype=np.float32)
"""Where the light round a square is read, px of the patch."""
MIN_CLIPPED_LEVEL = 253
"""Pixels from here on, of 255, are taken for clipped."""
MIN_SHOWN = 0.25
"""Share of a patch that its neighbours have to leave free; else they are not minded."""


@dataclass(frozen=True, eq=False)
class RectifiedPatches:
    """Squares cut out, n of them."""

    even: Floats
    """(n, SIDE, SIDE, 3) linear light as even, neutral light would show it."""
    shown: Floats
    """(n, SIDE, SIDE) 1 where a pixel is the square's cloth, 0 where something lies over it."""
    around: Floats
    """(n, k, k, 3) the light over it and half a side beyond, 1 for the mean of all squares."""
    clipped: Floats
    """(n,) share of its pixels that the camera clipped."""
    over_white: Floats
    """(n, SIDE, SIDE, 3) what a white thing would show there: what ``even`` was divided by."""


def cut_patches(
    photo: Photo, found: Found, picked: Sequence[int], light: Light, over: NDArray[np.bool_]
) -> RectifiedPatches:
    """Cut out some of the squares.

    Parameters
    ----------
    photo, found, light
        The picture, its squares and its light.
    picked : sequence of int
        Which of the squares, from 0.
    over : (n, n) bool
        Where the first of two squares surely lies over the second.
    """
    tone = camera_response.CameraResponse(light.contrast, light.saturation, light.power)
    laid = [_lay(photo, found.squares[index], tone) for index in picked]
    cloth = np.array([one[0] for one in laid], np.float32)
    to_photo = np.array([one[1] for one in laid])
    steps = np.arange(PATCH_PX, dtype=np.float32) + 0.5
    field = _light_at(light, to_photo, photo.pixels.shape, steps)
    white = field * light.tint.astype(np.float32)
    even = in_even_light(cloth, white, light)
    around = _light_at(light, to_photo, photo.pixels.shape, SURROUNDINGS_PX)
    shown = _free_of_neighbours(found, picked, np.linalg.inv(to_photo), over)
    clipped = np.array([one[2] for one in laid], np.float32)
    return RectifiedPatches(even, shown, around, clipped, white)


def in_even_light(cloth: Floats, white: Floats, light: Light) -> Floats:
    """Return the linear light of cloth as even, neutral light would show it.

    Parameters
    ----------
    cloth, white : (..., 3)
        Linear light, and what a white thing would show there.
    light : Light
        Whose mixing of channels is taken off.
    """
    even = cloth / white
    if light.mixing is not None:
        even = np.maximum(camera_response.mixed(even, light.mixing.astype(np.float32)), 0.0)
    return np.asarray(even, np.float32)


def _lay(
    photo: Photo, square: Square, tone: camera_response.CameraResponse
) -> tuple[Floats, NDArray[np.float64], float]:
    """Return a square's linear light laid flat, from there to the photo, what is clipped of it."""
    import cv2

    quad = np.array(square.corners, np.float32)
    flat = laid_flat(square)
    fine = min(max(round(mean_side(quad) / PATCH_PX), 1), MAX_SUPERSAMPLING)
    to_flat = cv2.getPerspectiveTransform(quad - 0.5, flat * fine - 0.5)
    size = (PATCH_PX * fine, PATCH_PX * fine)
    pixels = cv2.warpPerspective(
        photo.pixels, to_flat, size, flags=cv2.INTER_NEAREST, borderMode=cv2.BORDER_REPLICATE
    )
    linear = tone.linear(np.asarray(pixels, np.uint8))
    cloth = cv2.resize(linear, (PATCH_PX, PATCH_PX), interpolation=cv2.INTER_AREA)
    some = pixels[::fine, ::fine]
    brightest = np.maximum(np.maximum(some[..., 0], some[..., 1]), some[..., 2])
    to_photo = np.asarray(cv2.getPerspectiveTransform(flat, quad), np.float64)
    return np.asarray(cloth, np.float32), to_photo, float((brightest >= MIN_CLIPPED_LEVEL).mean())


def cloth_shown_in(square: Square) -> float:
    """Return how many inches of a square a patch shows along a side: what its margin leaves."""
    whole = max(square.width_in, 4.0 * EDGE_MARGIN_IN)
    return whole - 2.0 * EDGE_MARGIN_IN


def laid_flat(square: Square) -> Floats:
    """Return where the corners lie, px of the patch, so that the margin falls outside it."""
    width = PATCH_PX / max(
        1.0 - 2.0 * EDGE_MARGIN_IN / max(square.width_in, 4.0 * EDGE_MARGIN_IN), 0.5
    )
    low, high = (PATCH_PX - width) / 2.0, (PATCH_PX + width) / 2.0
    return np.array([[low, low], [high, low], [high, high], [low, high]], np.float32)


def _light_at(
    light: Light, to_photo: NDArray[np.float64], shape: tuple[int, ...], steps: Floats
) -> Floats:
    """Return the light's field, (n, k, k, 3), on a mesh of k steps along each patch, its px."""
    import cv2

    count, k = len(to_photo), len(steps)
    mesh = np.stack([*np.meshgrid(steps, steps), np.ones((k, k))]).reshape(3, -1)
    there = (to_photo @ mesh).astype(np.float32)
    rows, columns = light.field.shape[:2]
    over = 1.0 / there[:, 2]
    xs = (there[:, 0] * over * np.float32(columns / shape[1]) - np.float32(0.5)).reshape(-1, k)
    ys = (there[:, 1] * over * np.float32(rows / shape[0]) - np.float32(0.5)).reshape(-1, k)
    edge = cv2.BORDER_REPLICATE
    read = cv2.remap(light.field, xs, ys, cv2.INTER_LINEAR, borderMode=edge)
    return np.asarray(read, np.float32).reshape(count, k, k, 3)


def _free_of_neighbours(
    found: Found,
    picked: Sequence[int],
    to_flat: NDArray[np.float64],
    over: NDArray[np.bool_],
) -> Floats:
    """Mark the patches' pixels, (n, SIDE, SIDE), that no other square's outline covers.

    Where it isn't known which of two overlapping squares lies on top, both give the overlap up.
    """
    import cv2

    quads = np.array([square.corners for square in found.squares], np.float32)
    low, high = quads.min(axis=1), quads.max(axis=1)
    own = np.asarray(picked, np.intp)
    close = ((low < high[own, None]) & (high > low[own, None])).all(axis=2) & ~over[own]
    close[np.arange(len(own)), own] = False
    free = np.ones((len(own), PATCH_PX, PATCH_PX), np.float32)
    for at in np.flatnonzero(close.any(axis=1)):
        there = cv2.perspectiveTransform(quads[close[at]].reshape(1, -1, 2), to_flat[at])
        there = np.clip(there.reshape(-1, 4, 2) - 0.5, -8.0 * PATCH_PX, 8.0 * PATCH_PX)
        for quad in np.round(there * 16).astype(np.int32):
            cv2.fillConvexPoly(free[at], quad, 0.0, shift=4)
        if free[at].mean() < MIN_SHOWN:
            free[at] = 1.0
    return free
