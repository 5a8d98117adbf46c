"""The eye sees the same squares whichever way the picture is turned for it."""

import cv2
import numpy as np
import pytest

from catalog.finding.detector import _non_maximum_suppression, detect, quarter_turns
from catalog.image_pyramid import image_pyramid, smallest_of


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
    found = detect(image_pyramid(picture), quarters)
    quads = found.quads[found.scores > 0.4]
    assert len(quads) == len(true)
    gaps = np.linalg.norm(quads[:, None] - true, axis=3).mean(axis=2)
    assert gaps.min(axis=0).max() < 12


def test_a_large_photo_is_looked_at_on_its_halves():
    picture, true = drawn(640, 480)
    large = cv2.resize(picture, None, fx=5, fy=5, interpolation=cv2.INTER_LINEAR)
    levels = image_pyramid(large)
    assert [level.shape[1] for level in levels] == [3200, 1600, 800]
    assert [smallest_of(levels, px).shape[1] for px in (5000, 1601, 1600, 10)] == [
        3200,
        3200,
        1600,
        800,
    ]
    found = detect(levels)
    quads = found.quads[found.scores > 0.4]
    assert np.linalg.norm(quads[:, None] - 5 * true, axis=3).mean(axis=2).min(axis=0).max() < 60


def test_a_standing_photo_is_turned_once_to_lie():
    assert quarter_turns(np.zeros((640, 480, 3), np.uint8)) == 1
    assert quarter_turns(np.zeros((480, 640, 3), np.uint8)) == 0


def test_squares_half_under_others_are_no_repeats():
    square = np.array([[0, 0], [40, 0], [40, 40], [0, 40]], float)
    rows = square + np.array([[0, 0], [0, 20], [0, 40], [3, 6]])[:, None]
    assert _non_maximum_suppression(rows) == [0, 1, 2]
