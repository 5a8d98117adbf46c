"""Arrows on cloth whose print runs one way: they point to what was its top in the photo."""

from __future__ import annotations

from math import cos, radians, sin
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.report.pictures.cloth_texture import Pixels

LONG: Final = 0.36
"""Length of an arrow, of the side of a square as large as the piece (choice of ours)."""
MIN_LONG_PX: Final = 10.0
"""An arrow shorter than this isn't one."""


def draw_way(face: Pixels, corners: NDArray[np.int32], turn: int) -> None:
    """Draw an arrow in the middle of a piece, white on black so that it shows on any cloth.

    Parameters
    ----------
    face : array, (height, width, 3), uint8
    corners : array, (n, 2), int32
        Of the piece, px.
    turn : int
        Degrees clockwise by which its cloth is turned from how it lies in the photo.
    """
    import cv2

    area = float(cv2.contourArea(corners))
    if area <= 0.0:
        return
    moments = cv2.moments(corners)
    middle = np.array([moments["m10"], moments["m01"]]) / moments["m00"]
    half = LONG * np.sqrt(area) / 2
    if 2 * half < MIN_LONG_PX:
        return
    along = half * np.array([sin(radians(turn)), -cos(radians(turn))])
    tail, head = (tuple(int(one) for one in np.rint(middle + way * along)) for way in (-1, 1))
    thin = max(1, round(half / 9))
    for colour, thick in (((0, 0, 0), 3 * thin), ((255, 255, 255), thin)):
        cv2.arrowedLine(face, tail, head, colour, thick, cv2.LINE_AA, tipLength=0.4)
