"""The pictures of many squares on one sheet, so that a page asks for them once."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from catalog.report.pictures.cloth_texture import Pixels
from catalog.report.pictures.crops import CROP_PX

FEW: Final = 144
"""Squares up to which each is shown as it was cut out: a sheet of 12 by 12 is 1728 px wide."""
SMALL_PX: Final = 64
"""Side of a square on the sheets of larger bundles: a thousand make one 2048 px wide, which every
browser draws from (choice of ours)."""
MAX_COLUMNS: Final = 64
"""Squares in a row at most: 4096 px, the largest picture that phones draw from (common practice).
More squares are made smaller."""
QUALITY: Final = 88
"""Of JPEG (choice of ours)."""


@dataclass(frozen=True)
class SheetGrid:
    """Where each square's picture lies on a sheet."""

    side: int
    """Pixels of each, across and down."""
    columns: int


def sheet_grid(number: int) -> SheetGrid:
    """Return how so many pictures are laid out."""
    columns = max(1, math.isqrt(max(number, 1) - 1) + 1)
    side = CROP_PX if number <= FEW else SMALL_PX
    while columns * side > MAX_COLUMNS * SMALL_PX and side > 8:
        side //= 2
    return SheetGrid(side, columns)


def crop_sheet(jpegs: Sequence[bytes | None]) -> bytes:
    """Return one JPEG file with the pictures of squares row by row; grey where there is none.

    Parameters
    ----------
    jpegs : sequence of bytes or None
        JPEG files, square.
    """
    import cv2

    grid = sheet_grid(len(jpegs))
    rows = max(1, -(-len(jpegs) // grid.columns))
    sheet = np.full((rows * grid.side, grid.columns * grid.side, 3), 128, np.uint8)
    for place, jpeg in enumerate(jpegs):
        if jpeg is not None:
            top, left = (one * grid.side for one in divmod(place, grid.columns))
            sheet[top : top + grid.side, left : left + grid.side] = _tile(jpeg, grid.side)
    options = [cv2.IMWRITE_JPEG_QUALITY, QUALITY]
    _, content = cv2.imencode(".jpg", sheet, options)
    return content.tobytes()


def _tile(jpeg: bytes, side: int) -> Pixels:
    """Return a JPEG's picture so many pixels wide and high, in OpenCV's order of colours."""
    import cv2

    half = side * 2 <= CROP_PX
    how = cv2.IMREAD_REDUCED_COLOR_2 if half else cv2.IMREAD_COLOR
    pixels = cv2.imdecode(np.frombuffer(jpeg, np.uint8), how)
    if pixels is None:
        return np.full((side, side, 3), 128, np.uint8)
    if pixels.shape[:2] != (side, side):
        pixels = cv2.resize(pixels, (side, side), interpolation=cv2.INTER_AREA)
    return np.asarray(pixels, np.uint8)
