"""Squares cut out once more for their prints, as finely as photos show them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog.colour import camera_response
from catalog.measuring.rectified_patches import PATCH_PX, in_even_light, laid_flat
from catalog.models import Light, Photo, Square

Floats = NDArray[np.float32]

PRINT_PX = 2 * PATCH_PX
"""Pixels along a print's patch: 27 to the inch of a 5 in. square. A phone's photo of 30 squares
shows twice as many, of which noise leaves no more."""


def print_patch(
    photo: Photo, square: Square, light: Light, white: Floats, px: int = PRINT_PX
) -> Floats:
    """Return a square's cloth laid flat, in even light.

    Parameters
    ----------
    photo : Photo
    square : Square
    light : Light
        Of the photo.
    white : (side, side, 3)
        What a white thing would show there, from coarse patches of the same square.
    px : int
        Pixels along the patch.

    Returns
    -------
    (px, px, 3) float32
        Linear light.
    """
    import cv2

    quad = np.array(square.corners, np.float32)
    read = px + px // 2
    to_flat = cv2.getPerspectiveTransform(quad - 0.5, laid_flat(square) * (read / PATCH_PX) - 0.5)
    pixels = cv2.warpPerspective(
        photo.pixels, to_flat, (read, read), borderMode=cv2.BORDER_REPLICATE
    )
    tone = camera_response.CameraResponse(light.contrast, light.saturation, light.power)
    linear = tone.linear(np.asarray(pixels, np.uint8))
    cloth = cv2.resize(linear, (px, px), interpolation=cv2.INTER_AREA)
    fine = cv2.resize(white, (px, px), interpolation=cv2.INTER_LINEAR)
    return in_even_light(np.asarray(cloth), np.asarray(fine), light)
