"""The eye sees the same squares whichever way the picture is turned for it."""

import cv2
import numpy as np
import pytest

from catalog.finding.detector import _non_maximum_suppression, detect, quarter_turns


def drawn(wide, high):
    """Six plain squares on a pale ground, and their corners (6, 4, 2)."""
    picture = np.full((high, wide, 3), (205, 200, 190), np.uint8)
    rng = np.random.default_rng(5)
    y, x = np.mgrid[0:2, 0:3].reshape(2, -1)
    if high > wide:
        x, y = y, x
    corner = np.stack([x, y], axis=1) * 190 + (60, 50)
    corners = corner[:, None] + 150 * np.array([[0, 0], [1, 0], [1, 1], [0, 1]])
    for quad in corners:
        cv2.fillConvexPoly(picture, quad, rng.uniform(20, 160, 3).tolist())
    picture = cv2.GaussianBlur(picture, (0, 0), 0.8) + rng.normal(0, 2, picture.shape)
    return np.clip(picture, 0, 255).astype(np.uint8), corners.astype(float)


@pytest.mark.parametrize("quarters", [None, 0, 1, 2, 3])
@pytest.mark.parametrize(("wide", "high"), [(640, 480), (480, 640)])
def test_squares_are_told_where_they_lie(wide, high, quarters):
    picture, true = drawn(wide, high)
    found = detect(picture, quarters)
    quads = found.quads[found.scores > 0.4]
    assert len(quads) == len(true)
    gaps = np.linalg.norm(quads[:, None] - true, axis=3).mean(axis=2)
    assert gaps.min(axis=0).max() < 12


def test_a_standing_photo_is_turned_once_to_lie():
    assert quarter_turns(np.zeros((640, 480, 3), np.uint8)) == 1
    assert quarter_turns(np.zeros((480, 640, 3), np.uint8)) == 0


def test_squares_half_under_others_are_no_repeats():
    square = np.array([[0, 0], [40, 0], [40, 40], [0, 40]], float)
    rows = square + np.array([[0, 0], [0, 20], [0, 40], [3, 6]])[:, None]
    assert _non_maximum_suppression(rows) == [0, 1, 2]
