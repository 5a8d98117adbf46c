"""Squares found in whole photographs: path-traced ones with truth, and pictures without any."""

import json
from pathlib import Path

import cv2
import numpy as np
import pytest
from skimage import data
from sklearn.datasets import load_sample_image

from catalog.finding import find_squares
from catalog.models import Photo

SAMPLES = Path(__file__).parents[1] / "sample_photos"
BUNDLE = SAMPLES / "bundle_25_photo_a.jpg"


def pixels_of(path):
    return cv2.imread(str(path), cv2.IMREAD_COLOR_RGB)


def corners_of(found):
    return np.array([square.corners for square in found.squares])


def truth_of(path):
    squares = json.loads(path.with_suffix(".json").read_text(encoding="utf-8"))["squares"]
    return np.array([square["polygon"] for square in squares]), squares


@pytest.fixture(scope="module")
def bundle():
    return pixels_of(BUNDLE)


@pytest.fixture(scope="module")
def found(bundle):
    return find_squares(Photo("bundle", bundle), 5.0)


def test_every_square_with_its_place_and_corners(found):
    true, squares = truth_of(BUNDLE)
    told = corners_of(found)
    assert len(told) == len(true) == 25
    first = min(s["row"] for s in squares), min(s["col"] for s in squares)
    for square, quad in zip(found.squares, told, strict=True):
        near = int(np.argmin(np.linalg.norm(true.mean(axis=1) - quad.mean(axis=0), axis=1)))
        place = (squares[near]["row"] - first[0] + 1, squares[near]["col"] - first[1] + 1)
        assert (square.row, square.col) == place
        # 1/8 in, of some 65 px to the inch; the order of the corners is part of the contract
        assert np.median(np.linalg.norm(quad - true[near], axis=1)) < found.pixels_per_inch / 8


def test_sizes_are_on_the_scale_of_the_square_told(found, bundle):
    sizes = np.array([(s.width_in, s.height_in) for s in found.squares])
    assert np.abs(sizes - 5).max() < 0.15
    told = []
    halved = find_squares(Photo("bundle", bundle), 2.5, seen=lambda: told.append("seen"))
    assert told == ["seen"]
    assert np.allclose([s.width_in for s in halved.squares], sizes[:, 0] / 2)


@pytest.mark.parametrize("quarter", [1, 2, 3])
def test_a_turned_photo_shows_the_same_squares(found, bundle, quarter):
    turned = find_squares(Photo("turned", np.ascontiguousarray(np.rot90(bundle, quarter))), 5.0)
    height, width = bundle.shape[:2]
    middles = corners_of(turned).mean(axis=1)
    x, y = middles.T
    back = {1: (width - y, x), 2: (width - x, height - y), 3: (y, height - x)}[quarter]
    again = np.stack(back, axis=-1)
    first = corners_of(found).mean(axis=1)
    assert len(again) == len(first)
    gaps = np.linalg.norm(first[:, None] - again[None], axis=2).min(axis=1)
    assert gaps.max() < found.pixels_per_inch / 16


@pytest.mark.parametrize("scale", [0.5, 1.5])
def test_a_photo_of_another_size_shows_the_same_squares(found, bundle, scale):
    way = cv2.INTER_AREA if scale < 1 else cv2.INTER_LINEAR
    other = cv2.resize(bundle, None, fx=scale, fy=scale, interpolation=way)
    again = corners_of(find_squares(Photo("other", other), 5.0)).mean(axis=1) / scale
    first = corners_of(found).mean(axis=1)
    assert len(again) == len(first)
    assert np.linalg.norm(first - again, axis=1).max() < found.pixels_per_inch / 16


def test_squares_cut_by_the_frame_are_told_apart(found, bundle):
    quads = corners_of(found)
    in_first_column = [k for k, s in enumerate(found.squares) if s.col == 1]
    cut_at = int(quads[in_first_column].mean(axis=(0, 1))[0])
    rest = find_squares(Photo("cut", np.ascontiguousarray(bundle[:, cut_at:])), 5.0)
    assert len(rest.squares) == 20
    assert all(x >= -2 for square in rest.squares for x, _ in square.corners)


@pytest.mark.parametrize("kind", ["plain", "noise", "ramp", "one pixel", "stripes"])
def test_pictures_without_squares_give_none(kind):
    rng = np.random.default_rng(2)
    ramp = np.linspace(0, 255, 900)[None, :, None] * np.ones((700, 1, 3))
    picture = {
        "plain": np.full((700, 900, 3), 128),
        "noise": rng.integers(0, 256, (700, 900, 3)),
        "ramp": ramp,
        "one pixel": np.zeros((1, 1, 3)),
        "stripes": np.where(ramp % 60 < 30, 40, 220),
    }[kind].astype(np.uint8)
    told = []
    assert find_squares(Photo(kind, picture), 5.0, seen=lambda: told.append("seen")).squares == ()
    assert told == []


@pytest.mark.parametrize("name", ["china.jpg", "flower.jpg"])
def test_camera_pictures_without_squares_give_none(name):
    # a temple with roofs and windows, and a flower: shipped by scikit-learn (CC BY 2.0)
    picture = np.asarray(load_sample_image(name))
    assert find_squares(Photo(name, picture), 5.0).squares == ()


@pytest.mark.parametrize("name", ["astronaut", "coffee", "brick", "page", "coins", "rocket"])
def test_pictures_of_things_give_none(name):
    # shipped by scikit-image (public domain, CC0 or its own)
    try:
        picture = getattr(data, name)()
    except ConnectionError:
        pytest.skip("this scikit-image fetches the picture from outside")
    if picture.ndim == 2:
        picture = np.repeat(picture[..., None], 3, axis=2)
    assert find_squares(Photo(name, np.ascontiguousarray(picture)), 5.0).squares == ()


def test_confidence_and_flags(found):
    assert all(square.confidence > 0.9 for square in found.squares)
    assert sum(bool(square.flags) for square in found.squares) <= 1


@pytest.mark.parametrize(("left", "right"), [(0, 1), (0, 0.6), (0.4, 1)])
def test_rows_that_overlap(left, right):
    """Whole, and its left and right parts, in which the eye alone goes astray."""
    path = SAMPLES / "mini_2_5in_overlap_8x9_arm_shadow.jpg"
    picture = pixels_of(path)
    left, right = round(left * picture.shape[1]), round(right * picture.shape[1])
    found = find_squares(Photo("rows", np.ascontiguousarray(picture[:, left:right])), 2.5)
    true, _ = truth_of(path)
    inside = ((true[..., 0] > left + 10) & (true[..., 0] < right - 10)).all(axis=1)
    told = corners_of(found).mean(axis=1) + np.array([left, 0])
    away = np.linalg.norm(true.mean(axis=1)[inside][:, None] - told[None], axis=2).min(axis=1)
    assert away.max() < 0.2 * 2.5 * found.pixels_per_inch
    # hidden sides lower the confidence, but what lies under the next row is no reason to look again
    assert all(square.confidence < 0.9 for square in found.squares)
    assert sum("side not seen" in square.flags for square in found.squares) < len(told) / 2
