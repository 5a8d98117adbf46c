"""The shadow of straight bars over squares, told by the squares; on pictures made here."""

import cv2
import numpy as np
import pytest
from test_light import COLS, scene, seen, spread

from catalog.colour import lab
from catalog.light import estimate_light
from catalog.light.border_samples import rectify_squares
from catalog.light.candidates.shadow_bars import find_shadow_bars
from catalog.light.reduced_view import reduce_photo
from catalog.models import Photo

DEPTH = np.log([0.22, 0.25, 0.3])


def window(height, width, depth=DEPTH):
    """Two bars along the picture and one across, as a window's frame throws them askew."""
    ys, xs = np.mgrid[:height, :width] / 24.0
    along, across = xs * np.cos(0.35) + ys * np.sin(0.35), ys * np.cos(0.35) - xs * np.sin(0.35)
    dark = (np.abs(along - 7) < 1.1) | (np.abs(along - 20) < 1.1) | (np.abs(across - 6) < 1.0)
    return np.where(dark[..., None], np.exp(depth), 1.0)


def shown(photo, found):
    return find_shadow_bars(reduce_photo(photo, found))


@pytest.fixture(scope="module")
def framed():
    """Squares that touch, so that hardly any ground shows the shadow."""
    return scene(light=window, gap=0.0, inset=0.4)


def test_bars_are_told_by_the_squares_alone(framed):
    bars = shown(*framed)
    assert bars is not None
    # the camera's tone, which this picture lacks, deepens what is dark
    assert bars.depth == pytest.approx(DEPTH, abs=0.3)
    dark = 1.0 - window(*framed[0].pixels.shape[:2])[..., 0]
    true = cv2.resize(dark, bars.share.shape[::-1], interpolation=cv2.INTER_AREA) > dark.max() / 2
    assert ((bars.share > 0.5) == true).mean() > 0.97


def test_the_light_is_freed_of_bars(framed):
    photo, found = framed
    assert spread(seen(photo, found, estimate_light(photo, found))) < 4.0


def test_a_shadow_that_no_sun_throws_is_none():
    """Too shallow, or a dye's colour."""
    for depth in (np.log([0.8, 0.8, 0.8]), np.log([0.9, 0.4, 0.1])):
        photo, found = scene(light=lambda h, w, d=depth: window(h, w, d), gap=0.0, inset=0.4)
        assert shown(photo, found) is None


def test_stripes_and_seams_are_no_bars():
    photo, found = scene(gap=0.5)
    linear = lab.srgb_to_linear(photo.pixels).astype(float)
    for number, square in enumerate(found.squares):
        (x0, y0), _, (x1, y1), _ = square.corners
        inside = linear[y0:y1, x0:x1]
        place = np.arange(x1 - x0) + 5 * number
        inside[:, place % 30 < 11] *= [0.3, 0.35, 0.4]
    striped = Photo("striped.png", np.round(lab.linear_to_srgb(linear) * 255).astype(np.uint8))
    assert shown(striped, found) is None


@pytest.mark.parametrize("gap", [0.0, 0.1, 0.12])
def test_what_lies_beside_a_square_is_told_in_narrow_rows(gap):
    photo, found = scene(gap=gap)
    view = reduce_photo(photo, found)
    beside = rectify_squares(view, found).beside[COLS + 1]
    told = [set(side.tolist()) - {-1} for side in np.split(beside, 4)]
    assert told == [{1}, {2 * COLS + 1}, {COLS}, {COLS + 2}]
    assert (beside >= 0).mean() > 0.8


def test_ground_in_wide_rows_is_no_square():
    photo, found = scene(gap=0.5)
    beside = rectify_squares(reduce_photo(photo, found), found).beside[COLS + 1]
    assert (beside == -1).all()
