"""Reference pages drawn and laid into pictures."""

from __future__ import annotations

import cv2
import numpy as np

from catalog.reference_page.printed_layout import corners_of, layout_of
from catalog.reference_page.tag_family import mark_picture

DOTS = 5
"""Pixels to a millimetre of a drawn page."""
PAPER, INK = 235, 40


def page_drawn(paper="A4", marks=range(4), printed=1.0):
    """Return a page as pixels, (height, width) of grey, with these of its marks.

    ``printed`` is how large all is on its paper: 1 for as it is drawn.
    """
    layout = layout_of(paper)
    wide, high = (round(length * DOTS) for length in layout.size)
    drawn = np.full((high, wide), PAPER, np.uint8)
    for place in marks:
        box = layout.marks[place]
        x, y, side, _ = (round(length * DOTS) for length in box)
        mark = mark_picture(layout.numbers[place], side)
        drawn[y : y + side, x : x + side] = np.where(mark > 0, PAPER, INK)
    for box, grey in ((layout.black, INK), *((one, 130) for one in layout.greys)):
        cv2.fillConvexPoly(drawn, np.round(corners_of(box) * DOTS).astype(np.int32), grey)
    middle = np.array([wide, high]) / 2
    smaller = np.column_stack([np.eye(2) * printed, middle * (1 - printed)])
    return cv2.warpAffine(drawn, smaller, (wide, high), flags=cv2.INTER_LINEAR, borderValue=PAPER)


def laid(picture, to_photo, paper="A4", marks=range(4), tint=(1.0, 1.0, 1.0), printed=1.0):
    """Return a picture with a page laid on it; ``to_photo`` (3, 3) takes its mm to px."""
    high, wide = picture.shape[:2]
    # centres of pixels in OpenCV, corners of pixels in ours
    by = np.diag([1 / DOTS, 1 / DOTS, 1.0]) @ np.array([[1, 0, 0.5], [0, 1, 0.5], [0, 0, 1.0]])
    by = np.array([[1, 0, -0.5], [0, 1, -0.5], [0, 0, 1.0]]) @ to_photo @ by
    fine = 3  # several points to a pixel, as a lens sees it
    by = np.array([[fine, 0, (fine - 1) / 2], [0, fine, (fine - 1) / 2], [0, 0, 1.0]]) @ by
    size = (wide * fine, high * fine)
    drawn = page_drawn(paper, marks, printed)
    page, cover = (
        cv2.resize(cv2.warpPerspective(one, by, size, flags=cv2.INTER_LINEAR), (wide, high),
                   interpolation=cv2.INTER_AREA).astype(np.float32)
        for one in (drawn, np.full_like(drawn, 255))
    )  # fmt: skip
    share = (cover / 255.0)[..., None]
    seen = picture * (1 - share) + page[..., None] * np.array(tint, np.float32)
    return np.clip(np.round(seen), 0, 255).astype(np.uint8)


def turned(degrees, scale, middle, paper="A4", tilt=0.0):
    """Return the homography of a page: px to a mm, where its middle lies, and its turn."""
    wide, high = layout_of(paper).size
    a = np.deg2rad(degrees)
    turn = np.array([[np.cos(a), -np.sin(a)], [np.sin(a), np.cos(a)]]) * scale
    flat = np.eye(3)
    flat[:2, :2], flat[:2, 2] = turn, np.asarray(middle) - turn @ (wide / 2, high / 2)
    view = np.array([[1.0, 0, 0], [0, 1.0, 0], [0, tilt / 1000.0, 1.0]])
    there = view @ np.array([*middle, 1.0])
    back = np.eye(3)
    back[:2, 2] = np.asarray(middle) - there[:2] / there[2]
    return back @ view @ flat
