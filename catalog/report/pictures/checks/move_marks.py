"""Marks on a picture of the wall that say what to do, each told from the others by its shape."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from catalog.models import mean_side
from catalog.report.pictures.outlines import (
    BLACK,
    WHITE,
    Pixels,
    Points,
    dashed,
    edges_of,
    fixed,
    inside,
    write,
)

ACCENT: Final = (255, 196, 0)
"""Amber: lighter than most cloth, on a black edge that shows on what is lighter still; nothing is
told by it alone."""
BEND: Final = 0.14
MAX_BOW: Final = 0.3
"""How far an arrow bows out, as a share of its length and at most of a block's side, so that two
that go back and forth part and none wanders through another row."""
_SUBPIXEL: Final = 4
_POINTS: Final = 24
"""Straight parts of a bowed line."""


def draw_ring(picture: Pixels, corners: Points, *, quiet: bool, broken: bool = False) -> None:
    """Outline a place: thin and white, or broad in amber; broken where there is nothing to see."""
    width = max(1, round(mean_side(corners) / (220.0 if quiet else 70.0)))
    middle = corners.mean(axis=0)
    inset = middle + (corners - middle) * (1.0 - 4.0 * width / max(mean_side(corners), 1.0))
    edges = edges_of(inset)
    parts = dashed(edges) if broken else edges
    _lines(picture, list(parts), width, WHITE if quiet else ACCENT)


def draw_arrow(picture: Pixels, here: Points, goal: Points) -> None:
    """Draw a bowed arrow from one place to another."""
    start, end = here.mean(axis=0), goal.mean(axis=0)
    along = end - start
    size = min(mean_side(here), mean_side(goal))
    bend = min(BEND, MAX_BOW * size / max(float(np.linalg.norm(along)), 1.0))
    away = np.array([along[1], -along[0]])
    steps = np.linspace(0.0, 1.0, _POINTS)[:, None]
    bow = start + steps * along + 4.0 * bend * steps * (1.0 - steps) * away
    line = _shortened(bow, 0.16 * size)
    _tipped(picture, line, size)


def draw_turning_arrow(picture: Pixels, corners: Points, turn: int) -> None:
    """Draw the arrow along which to turn a block, clockwise by so many degrees."""
    sweep = turn if turn <= 180 else turn - 360
    angles = np.radians(np.linspace(-90.0 - sweep / 2, -90.0 + sweep / 2, _POINTS))
    line = np.array([inside(corners, 0.5 + 0.3 * np.cos(a), 0.5 + 0.3 * np.sin(a)) for a in angles])
    _tipped(picture, line, mean_side(corners))


def draw_flip(picture: Pixels, corners: Points) -> None:
    """Draw two arrows that pass each other: cloths that hang on each other's side."""
    for across, down in (((0.28, 0.72), 0.42), ((0.72, 0.28), 0.58)):
        line = np.array([inside(corners, x, down) for x in np.linspace(*across, 4)])
        _tipped(picture, line, mean_side(corners))


def draw_cross(picture: Pixels, corners: Points) -> None:
    """Cross out what doesn't belong here."""
    width = max(2, round(mean_side(corners) / 45.0))
    ends = [((0.32, 0.32), (0.68, 0.68)), ((0.68, 0.32), (0.32, 0.68))]
    _lines(picture, [np.array([inside(corners, *p) for p in pair]) for pair in ends], width, ACCENT)


def draw_number(picture: Pixels, middle: Points, radius: float, number: int) -> None:
    """Put a number on a round badge."""
    import cv2

    size, text = round(radius * 2**_SUBPIXEL), str(number)
    for colour, thick in ((ACCENT, -1), (BLACK, max(1, round(radius / 8)))):
        cv2.circle(picture, fixed(middle), size, colour, thick, cv2.LINE_AA, _SUBPIXEL)
    height = radius * min(1.0, 1.8 / max(len(text), 2))
    (wide, _), _ = cv2.getTextSize(text, cv2.FONT_HERSHEY_SIMPLEX, height / 21.0, 1)
    write(picture, text, middle + np.array([-wide, height]) / 2.0, height, BLACK)


def _shortened(line: Points, gap: float) -> Points:
    """Return a line without what lies nearer than a gap to its ends."""
    away = np.minimum(
        np.linalg.norm(line - line[0], axis=1), np.linalg.norm(line - line[-1], axis=1)
    )
    kept = line[away >= gap]
    return kept if len(kept) >= 3 else line


def _tipped(picture: Pixels, line: Points, size: float) -> None:
    """Draw a line with an arrow's head at its end."""
    import cv2

    width = max(2, round(size / 45.0))
    heading = line[-1] - line[-3]
    heading = heading / max(float(np.linalg.norm(heading)), 1e-6)
    side = np.array([heading[1], -heading[0]])
    tip, back = line[-1], line[-1] - 0.13 * size * heading
    head = np.array([tip, back + 0.075 * size * side, back - 0.075 * size * side])
    points = np.rint((head - 0.5) * 2**_SUBPIXEL).astype(np.int32)
    shaft = np.array([*line[:-1], (tip + back) / 2])
    _lines(picture, [shaft], width, ACCENT)
    cv2.polylines(picture, [points], True, BLACK, 2 * width, cv2.LINE_AA, _SUBPIXEL)
    cv2.fillPoly(picture, [points], ACCENT, cv2.LINE_AA, _SUBPIXEL)


def _lines(
    picture: Pixels, lines: Sequence[Points], width: int, colour: tuple[int, int, int]
) -> None:
    """Draw lines on a broader black, so that they show on any ground."""
    import cv2

    for ink, thick in ((BLACK, 2 * width + 1), (colour, width)):
        for line in lines:
            points = np.rint((line - 0.5) * 2**_SUBPIXEL).astype(np.int32)
            cv2.polylines(picture, [points], False, ink, thick, cv2.LINE_AA, _SUBPIXEL)
