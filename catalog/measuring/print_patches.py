"""Squares cut out once more for their prints, as finely as photos show them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog.colour import camera_response, lab
from catalog.measuring.rectified_patches import PATCH_PX, in_even_light, laid_flat
from catalog.models import Light, Photo, Square

Floats = NDArray[np.float32]

PRINT_PX = 2 * PATCH_PX
"""Pixels along a print's patch: 27 to the inch of a 5 in. square. A phone's photo of 30 squares
shows twice as many, of which noise leaves no more."""
READ_PX = 3 * PATCH_PX
"""Pixels along which the photo is read for it."""


def print_patch(photo: Photo, square: Square, light: Light, white: Floats) -> Floats:
    """Return a square's cloth laid flat, in CIELAB.

    Parameters
    ----------
    photo : Photo
    square : Square
    light : Light
        Of the photo.
    white : (side, side, 3)
        What a white thing would show there, from coarse patches of the same square.

    Returns
    -------
    (PRINT_PX, PRINT_PX, 3) float32
    """
    import cv2

    quad = np.array(square.corners, np.float32)
    to_flat = cv2.getPerspectiveTransform(
        quad - 0.5, laid_flat(square) * (READ_PX // PATCH_PX) - 0.5
    )
    pixels = cv2.warpPerspective(
        photo.pixels, to_flat, (READ_PX, READ_PX), borderMode=cv2.BORDER_REPLICATE
    )
    tone = camera_response.CameraResponse(light.contrast, light.saturation, light.power)
    linear = cv2.resize(
        tone.linear(np.asarray(pixels, np.uint8)), (PRINT_PX, PRINT_PX),
        interpolation=cv2.INTER_AREA,
    )  # fmt: skip
    fine = cv2.resize(white, (PRINT_PX, PRINT_PX), interpolation=cv2.INTER_LINEAR)
    even = in_even_light(np.asarray(linear), np.asarray(fine), light)
    return lab.many_pixels_to_lab(even)
