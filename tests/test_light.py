"""The light: evened out, balanced, its shadows followed; on pictures made here."""

import cv2
import numpy as np
import pytest

from catalog.colour import camera_response, lab
from catalog.colour.ciede2000 import ciede2000, ciede2000_matrix
from catalog.light import estimate_light
from catalog.models import Found, Photo, Square

PPI = 24
ROWS, COLS = 4, 5
CLOTH = [(0.75, 0.1, 0.12), (0.1, 0.45, 0.2), (0.1, 0.2, 0.6), (0.8, 0.6, 0.1), (0.85, 0.85, 0.83)]


def scene(*, ground=(0.5, 0.5, 0.5), light=None, gap=0.5, inset=2.0, seed=1):
    """Squares of cloth on a ground under a light (height, width, 3), without a tone curve."""
    rng = np.random.default_rng(seed)
    step = 5 + gap
    height, width = (int(PPI * (2 * inset + n * step - gap)) for n in (ROWS, COLS))
    linear = np.empty((height, width, 3))
    linear[:] = ground
    linear *= np.exp(rng.normal(0, 0.02, (height, width, 1)))
    squares = []
    for r in range(ROWS):
        for c in range(COLS):
            x, y = (PPI * (inset + n * step) for n in (c, r))
            x0, y0, side = round(x), round(y), 5 * PPI
            linear[y0 : y0 + side, x0 : x0 + side] = CLOTH[(r * 2 + c) % len(CLOTH)]
            corners = ((x0, y0), (x0 + side, y0), (x0 + side, y0 + side), (x0, y0 + side))
            squares.append(Square(corners, r + 1, c + 1, 5.0, 5.0, 1.0))
    if light is not None:
        linear *= light(height, width)
    pixels = np.round(lab.linear_to_srgb(np.clip(linear, 0, 1)) * 255).astype(np.uint8)
    return Photo("made.png", pixels), Found(tuple(squares), float(PPI))


def seen(photo, found, light):
    """Mean colour of each square's middle, the light taken off, linear."""
    height, width = photo.pixels.shape[:2]
    field = cv2.resize(light.field, (width, height), interpolation=cv2.INTER_LINEAR)
    even = (
        camera_response.to_linear(photo.pixels, light.contrast, light.saturation)
        / field
        / light.tint
    )
    boxes = [np.array(s.corners).astype(int) for s in found.squares]
    return np.array(
        [even[b[0][1] + 9 : b[2][1] - 9, b[0][0] + 9 : b[2][0] - 9].mean((0, 1)) for b in boxes]
    )


def groups(colours):
    """Colours of the squares of one cloth, cloth by cloth."""
    index = np.array([(r * 2 + c) % len(CLOTH) for r in range(ROWS) for c in range(COLS)])
    return [lab.linear_to_lab(colours[index == n]) for n in range(len(CLOTH))]


def spread(colours):
    return max(float(ciede2000_matrix(group).max()) for group in groups(colours))


def window(height, width):
    """Light that falls off across the picture by half, warmer on the far side."""
    across = np.linspace(0, 1, width)[None, :, None]
    return np.exp(-across * np.array([0.55, 0.7, 0.85])) * np.ones((height, 1, 1))


def bar(height, width):
    """A hard diagonal shadow, a quarter of the light left."""
    ys, xs = np.mgrid[:height, :width]
    inside = np.abs(xs - ys * 0.8 - 0.25 * width) < 0.09 * width
    return np.where(inside[..., None], np.array([0.22, 0.25, 0.3]), 1.0)


def test_even_light_stays_even():
    photo, found = scene()
    light = estimate_light(photo, found)
    assert light.unevenness == pytest.approx(1.0, abs=0.03)
    assert np.ptp(light.field) < 0.05


def test_light_that_falls_off_is_taken_off():
    photo, found = scene(light=window)
    light = estimate_light(photo, found)
    flat = camera_response.to_linear(photo.pixels, light.contrast, light.saturation)
    raw = np.array(
        [flat[int(s.corners[0][1]) + 60, int(s.corners[0][0]) + 60] for s in found.squares]
    )
    assert spread(raw) > 10
    assert spread(seen(photo, found, light)) < 1.5
    assert light.unevenness > 1.5


def test_a_hard_shadow_is_taken_off():
    photo, found = scene(light=bar, gap=1.0)
    light = estimate_light(photo, found)
    even = seen(photo, found, light)
    assert light.unevenness > 2.0
    assert spread(even) < 4.0


def arm(height, width):
    """A hard shadow that comes in from below and covers squares whole, ground only at its foot."""
    ys, xs = np.mgrid[:height, :width]
    side = 5 * PPI
    inside = (np.abs(xs - width / 2) < 0.6 * side) & (ys > 2 * PPI + 0.6 * side)
    return np.where(inside[..., None], np.array([0.22, 0.25, 0.3]), 1.0)


def test_squares_that_lie_in_a_shadow_whole_are_told_by_their_like_in_the_light():
    photo, found = scene(light=arm, gap=0.0)
    light = estimate_light(photo, found)
    whole = [r * COLS + COLS // 2 for r in range(1, ROWS)]
    lit = [r * COLS for r in range(ROWS)]
    even = seen(photo, found, light)
    cloth = [(r * 2 + c) % len(CLOTH) for r in range(ROWS) for c in range(COLS)]
    like = {cloth[n]: even[n] for n in (*lit, *(n + COLS - 1 for n in lit))}
    for n in whole:
        assert ciede2000(*lab.linear_to_lab([even[n], like[cloth[n]]])) < 5.0


def test_a_dark_thing_on_the_ground_is_no_shadow():
    photo, found = scene(inset=6.0)
    pixels = photo.pixels.copy()
    pixels[:70, :200] = 40
    light = estimate_light(Photo("thing.png", pixels), found)
    assert light.unevenness < 1.1


@pytest.mark.parametrize("tint", [(1.15, 1.0, 0.8), (0.85, 1.0, 1.2)])
def test_a_grey_ground_tells_the_tint(tint):
    photo, found = scene(ground=(0.3, 0.3, 0.3), light=lambda *_: np.array(tint) * 0.9)
    light = estimate_light(photo, found)
    assert "grey ground" in light.evidence
    np.testing.assert_allclose(light.tint / light.tint[1], tint, atol=0.06)


def test_a_white_sheet_tells_tint_and_brightness():
    tint = np.array([0.66, 0.6, 0.5])
    photo, found = scene(ground=(0.9, 0.9, 0.9), light=lambda *_: tint)
    light = estimate_light(photo, found)
    assert "white cloth" in light.evidence
    np.testing.assert_allclose(light.tint / light.tint[1], tint / tint[1], atol=0.05)


def test_a_coloured_ground_leaves_it_to_the_whites_in_the_prints():
    photo, found = scene(ground=(0.05, 0.2, 0.08), light=lambda *_: np.array([1.0, 0.95, 0.8]))
    light = estimate_light(photo, found)
    assert "whites in the prints" in light.evidence
    assert light.tint[2] < light.tint[1]


def test_no_squares_leave_the_photo_as_it_is():
    photo, _ = scene()
    light = estimate_light(photo, Found((), 0.0))
    np.testing.assert_array_equal(light.field, 1.0)
    np.testing.assert_array_equal(light.tint, 1.0)


def test_squares_that_fill_the_frame_have_no_ground_to_judge_by():
    photo, found = scene(gap=0.0, inset=0.0)
    light = estimate_light(photo, found)
    assert light.unevenness == 1.0
    assert np.isfinite(light.field).all()
    assert (light.tint > 0).all()


@pytest.mark.parametrize("level", [0, 255])
def test_a_photo_of_one_colour_gives_finite_light(level):
    photo, found = scene()
    light = estimate_light(Photo("flat.png", np.full_like(photo.pixels, level)), found)
    assert np.isfinite(light.field).all()
    assert (light.field > 0).all()
    assert (light.tint > 0).all()
    assert np.isfinite(light.tint).all()


def test_the_tone_curve_comes_off_as_it_went_on():
    linear = np.random.default_rng(3).uniform(0.05, 0.6, (500, 3))
    encoded = lab.linear_to_srgb(linear)
    grey = (encoded @ camera_response.LUMA.astype(float))[:, None]
    vivid = np.clip(grey + camera_response.SATURATION * (encoded - grey), 0, 1)
    curved = vivid + camera_response.CONTRAST * (3 * vivid**2 - 2 * vivid**3 - vivid)
    inside = (vivid > 0).all(axis=1) & (vivid < 1).all(axis=1)
    back = camera_response.to_linear(np.round(curved * 255).astype(np.uint8))
    np.testing.assert_allclose(back[inside], linear[inside], atol=0.01)


def test_without_tone_curve_pixels_turn_linear_as_srgb():
    ramp = np.repeat(np.arange(256, dtype=np.uint8)[:, None], 3, axis=1)
    np.testing.assert_allclose(
        camera_response.to_linear(ramp, 0.0, 1.0), lab.srgb_to_linear(ramp), atol=3e-4
    )


def test_squares_of_one_print_tell_the_light_where_there_is_no_ground():
    photo, found = scene(gap=0.0, inset=0.0)
    height, width = photo.pixels.shape[:2]
    ys, xs = np.mgrid[:height, :width]
    linear = lab.srgb_to_linear(photo.pixels).astype(float)
    linear *= np.where(((xs // 9 + ys // 9) % 2 == 0)[..., None], 1.0, 0.35) * window(height, width)
    printed = Photo("p", np.round(lab.linear_to_srgb(linear) * 255).astype(np.uint8))
    light = estimate_light(printed, found)
    raw = estimate_light(photo, Found((), 0.0))
    assert light.unevenness > 1.4
    assert spread(seen(printed, found, light)) < spread(seen(printed, found, raw)) / 2


@pytest.mark.parametrize("count", [1, 2])
def test_a_square_or_two_are_enough(count):
    photo, found = scene()
    light = estimate_light(photo, Found(found.squares[:count], found.pixels_per_inch))
    assert np.isfinite(light.field).all()
    assert (light.field > 0).all()


def test_a_backdrop_in_another_light_is_not_believed():
    photo, found = scene(light=lambda h, w: window(h, w) ** 3)
    even, _ = scene()
    pixels = photo.pixels.copy()
    for square in found.squares:
        (x0, y0), _, (x1, y1), _ = square.corners
        pixels[y0:y1, x0:x1] = even.pixels[y0:y1, x0:x1]
    light = estimate_light(Photo("stand.png", pixels), found)
    assert light.unevenness < 1.1
    assert spread(seen(Photo("stand.png", pixels), found, light)) < 1.5
