"""The cloth of a photographed square, laid flat and true to scale, and words on a picture."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.colour.lab import lab_to_linear, linear_to_srgb, srgb_to_linear
from catalog.models import Photo, Swatch

Pixels = NDArray[np.uint8]

EDGE_IN: Final = 0.2
"""Inches left out along each edge of a square: pinked teeth are 1/8 in deep, and a neighbour may
lie over it."""
MAX_GAIN: Final = 4.0
"""By how much a channel may be lightened at most."""
_CAPITALS: Final = 21.0
"""Height of a capital of OpenCV's font at size 1, px."""
_INK, _PLATE = (40, 40, 40), (245, 245, 245)


def cloth_of(
    photo: Photo, swatch: Swatch, wide: int, high: int, per_inch: float, finer: int = 1
) -> Pixels:
    """Cut a piece of a square's cloth out of its photo.

    Parameters
    ----------
    photo : Photo
    swatch : Swatch
        Its mean colour is what the piece gets, so that the photo's light is gone.
    wide, high : int
        Pixels of the piece. From the middle of the square at its true scale; where the piece is
        larger than the square without its edges, the cloth is stretched to it.
    per_inch : float
        Pixels to the inch of the picture.
    finer : int
        Cut out so many times larger and then shrunk, so that fine prints don't shimmer.

    Returns
    -------
    array, (high, wide, 3), uint8, RGB
    """
    import cv2

    square = swatch.square
    room = (max(square.width_in - 2 * EDGE_IN, 0.5), max(square.height_in - 2 * EDGE_IN, 0.5))
    shares = [
        min(pixels / per_inch, inches) / side
        for pixels, inches, side in zip(
            (wide, high), room, (square.width_in, square.height_in), strict=True
        )
    ]
    (left, right), (top, bottom) = ((0.5 - share / 2, 0.5 + share / 2) for share in shares)
    whole = np.array([(0, 0), (1, 0), (1, 1), (0, 1)], np.float32)
    to_photo = cv2.getPerspectiveTransform(whole, np.array(square.corners, np.float32) - 0.5)
    window = np.array([[(left, top), (right, top), (right, bottom), (left, bottom)]], np.float32)
    source = cv2.perspectiveTransform(window, to_photo)[0]
    large = w, h = wide * finer, high * finer
    target = np.array([(0, 0), (w, 0), (w, h), (0, h)], np.float32) - 0.5
    cut = cv2.getPerspectiveTransform(source, target)
    cloth = cv2.warpPerspective(
        photo.pixels, cut, large, flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )
    if finer > 1:
        cloth = cv2.resize(cloth, (wide, high), interpolation=cv2.INTER_AREA)
    return _in_its_colour(np.asarray(cloth, np.uint8), swatch)


def _in_its_colour(cloth: Pixels, swatch: Swatch) -> Pixels:
    """Scale linear light so that its mean is the swatch's colour."""
    import cv2

    levels = srgb_to_linear(np.arange(256, dtype=np.uint8))
    counted = [np.bincount(cloth[..., channel].ravel(), minlength=256) for channel in range(3)]
    mean = np.maximum(np.array(counted) @ levels / (cloth.size // 3), 1e-4)
    gain = np.clip(np.maximum(lab_to_linear(swatch.lab), 0.0) / mean, 0.0, MAX_GAIN)
    table = np.rint(linear_to_srgb(levels[:, None] * gain) * 255.0).astype(np.uint8)
    return np.asarray(cv2.LUT(cloth, table[None]), np.uint8)


def written(
    picture: Pixels, text: str, middle: tuple[float, float], height: float, *, plate: bool = False
) -> None:
    """Write text with capitals of a height, px, about a point."""
    import cv2

    font, size, thick = cv2.FONT_HERSHEY_SIMPLEX, height / _CAPITALS, max(1, round(height / 9))
    (wide, _), _ = cv2.getTextSize(text, font, size, thick)
    x, y = round(middle[0] - wide / 2), round(middle[1] + height / 2)
    if plate:
        pad = round(height / 3)
        corner = (x + wide + pad, y + pad)
        cv2.rectangle(picture, (x - pad, y - round(height) - pad), corner, _PLATE, -1)
    cv2.putText(picture, text, (x, y), font, size, _INK, thick, cv2.LINE_AA)
