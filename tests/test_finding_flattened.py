"""White cloth on a white sheet: a second look in even light finds its edges."""

import cv2
import numpy as np
import pytest

from catalog import finding
from catalog.finding import find_squares
from catalog.finding.flattened_light import flattened
from catalog.models import Photo

SIDE, GAP = 150, 20
"""Pixels to a square's side and between squares."""
HIGH, WIDE = 750, 1000


def laid():
    """True corners of 3 x 4 squares, px."""
    rng = np.random.default_rng(5)
    low = [
        np.array([150 + c * (SIDE + GAP), 110 + r * (SIDE + GAP)]) + rng.normal(0, 2, 2)
        for r in range(3)
        for c in range(4)
    ]
    unit = np.array([[0, 0], [1, 0], [1, 1], [0, 1]])
    return np.array([at + SIDE * unit for at in low])


def white_on_white(corners):
    """A sheet lit from one side, cloth on it a twentieth darker, cloudy, with shadows."""
    rng = np.random.default_rng(6)
    light = np.exp(np.linspace(-1.3, 0, WIDE))[None, :, None] * np.ones((HIGH, 1, 1))
    picture = 0.86 * light * np.array([1, 0.98, 0.96])
    for quad in corners:
        mask = np.zeros((HIGH, WIDE), np.float32)
        cv2.fillConvexPoly(mask, np.round(quad * 16 - 8).astype(np.int32), 1, cv2.LINE_AA, 4)
        dark = cv2.GaussianBlur(np.roll(mask, (4, 6), (0, 1)), (0, 0), 5) * (1 - mask)
        clouds = cv2.resize(rng.normal(0, 0.012, (25, 33)), (WIDE, HIGH))
        dye = rng.uniform(0.03, 0.08, 3) + clouds[..., None]
        picture *= 1 - 0.25 * dark[..., None] - dye * mask[..., None]
    seen = 255 * picture ** (1 / 2.2) + rng.normal(0, 1.2, picture.shape)
    return np.clip(seen, 0, 255).astype(np.uint8)


@pytest.fixture(scope="module")
def sheet():
    corners = laid()
    return corners, white_on_white(corners)


def off(told, true):
    """Distances of corners to the true ones, in sides, of the square that lies nearest."""
    middles = told.mean(axis=1)
    nearest = [np.linalg.norm(middles - quad.mean(axis=0), axis=1).argmin() for quad in true]
    return np.linalg.norm(told[nearest] - true, axis=2) / SIDE


def corners_of(picture):
    return np.array(
        [square.corners for square in find_squares(Photo("sheet", picture), 5.0).squares]
    )


def test_white_cloth_on_a_sheet_is_looked_at_again_in_even_light(sheet, monkeypatch):
    true, picture = sheet
    twice = corners_of(picture)
    monkeypatch.setattr(finding, "alike", lambda *_: False)
    once = corners_of(picture)
    assert len(once) == len(twice) == len(true)
    assert np.median(off(twice, true)) < 0.5 * np.median(off(once, true))


def test_the_ground_comes_out_even_and_cloth_differs_from_it_alike(sheet):
    true, picture = sheet
    even = flattened(picture, true).mean(axis=2)
    ground = np.ones((HIGH, WIDE), bool)
    for quad in true:
        (left, top), (right, bottom) = np.round(quad[[0, 2]]).astype(int)
        ground[top - 20 : bottom + 20, left - 20 : right + 20] = False
        assert even[top + 20 : bottom - 20, left + 20 : right - 20].mean() < 122
    parts = zip(np.array_split(even, 5, 1), np.array_split(ground, 5, 1), strict=True)
    assert np.ptp([part[bare].mean() for part, bare in parts]) < 4


def test_squares_that_cover_the_photo_leave_no_ground_to_tell_the_light(sheet):
    _, picture = sheet
    whole = np.array([[[0, 0], [WIDE, 0], [WIDE, HIGH], [0, HIGH]]], float)
    assert flattened(picture, whole) is None
