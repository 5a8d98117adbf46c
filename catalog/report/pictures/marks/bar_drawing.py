"""A square's palette drawn on a picture, as a bar below the square's label."""

from __future__ import annotations

from typing import Final

from catalog.report.palette_bars import Bar
from catalog.report.pictures.outlines import (
    SUBPIXEL,
    Pixels,
    Points,
    box_inside,
    draw_lines,
    edges_of,
    fixed_all,
    stroke,
)

LEFT: Final = 0.075
WIDE: Final = 0.6
TOP: Final = 0.225
HIGH: Final = 0.08
"""Where the bar lies, in shares of the square's sides: between its label and its number."""
RIM: Final = 0.012
"""How far round the bar its frame lies, likewise."""


def draw_bar(picture: Pixels, corners: Points, bar: Bar) -> None:
    """Draw a square's colours side by side, each as wide as its share, the ground first.

    Parameters
    ----------
    picture : array, (height, width, 3) in colour or (height, width) in grey, uint8
    corners : array, (4, 2)
        Of the square, px.
    bar : Bar
    """
    import cv2

    draw_lines(picture, edges_of(_stretch(corners, 0.0, 1.0, RIM)), max(1, stroke(corners) // 2))
    coloured = picture.ndim == 3
    for part in bar:
        shown = part.colour if coloured else part.grey
        levels = [int(shown[at : at + 2], 16) for at in (1, 3, 5)][: 3 if coloured else 1]
        place = fixed_all(_stretch(corners, part.start, part.share))
        cv2.fillConvexPoly(picture, place, levels, cv2.LINE_AA, SUBPIXEL)


def _stretch(corners: Points, start: float, share: float, rim: float = 0.0) -> Points:
    """Return the corners of a stretch of the bar, in shares of its length, and a rim round it."""
    left, right = LEFT + WIDE * start - rim, LEFT + WIDE * (start + share) + rim
    return box_inside(corners, left, TOP - rim, right, TOP + HIGH + rim)
