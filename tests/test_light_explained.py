"""Rival explanations of the light, and white where no lamp is known; on pictures made here."""

import numpy as np
import pytest
from test_light import CLOTH, COLS, ROWS, scene, seen, spread

from catalog.colour import lab
from catalog.light import estimate_light
from catalog.light.candidates import selection
from catalog.light.candidates.compactness import compactness, log_odds, pairs_of
from catalog.light.candidates.surface_classes import fit_surface_in_classes
from catalog.light.reduced_view import reduce_photo
from catalog.models import Found, Photo

WOOD = (0.2, 0.1, 0.06)


def encoded(linear):
    return np.round(lab.linear_to_srgb(np.clip(linear, 0, 1)) * 255).astype(np.uint8)


def shining(photo, found, strength=0.5, corner=(1.0, 1.0)):
    """The photo with a window mirrored in its floor, strongest in one corner; cloth is matt."""
    linear = lab.srgb_to_linear(photo.pixels).astype(float)
    height, width = linear.shape[:2]
    ys, xs = np.mgrid[:height, :width]
    away = np.hypot(xs / width - corner[0], ys / height - corner[1])
    gloss = strength * np.exp(-((away / 0.5) ** 2))[..., None] * np.ones(3)
    for square in found.squares:
        (x0, y0), _, (x1, y1), _ = square.corners
        gloss[y0:y1, x0:x1] = 0.0
    return Photo("shine.png", encoded(linear + gloss))


@pytest.mark.parametrize("corner", [(1.0, 1.0), (0.5, 0.0), (0.0, 0.6)])
def test_a_window_mirrored_in_the_floor_is_no_light_on_the_cloth(corner):
    photo, found = scene(ground=WOOD)
    light = estimate_light(shining(photo, found, corner=corner), found)
    assert spread(seen(photo, found, light)) < 1.5
    assert light.unevenness < 1.1


def test_light_that_falls_off_is_told_from_the_sheen_over_it():
    def light_on(height, width):
        return np.exp(-np.linspace(0, 0.8, width))[None, :, None] * np.ones((height, 1, 3))

    photo, found = scene(ground=WOOD, light=light_on)
    shone = shining(photo, found, strength=0.3)
    assert spread(seen(shone, found, estimate_light(shone, found))) < 2.0


def test_ground_of_several_colours_tells_the_one_light_over_it():
    """Pale on one side of the squares and dark on the other, which is no light, under a window."""
    photo, found = scene(ground=(0.5, 0.5, 0.5))
    linear = lab.srgb_to_linear(photo.pixels).astype(float)
    height, width = linear.shape[:2]
    pale = np.ones((height, width, 1))
    pale[:, width // 2 :] = 0.2
    for square in found.squares:
        (x0, y0), _, (x1, y1), _ = square.corners
        pale[y0:y1, x0:x1] = 1.0
    fall = np.exp(np.linspace(0, 0.7, height))[:, None, None] * 0.5
    two = Photo("two.png", encoded(linear * pale * fall))
    view = reduce_photo(two, found)
    told = np.log(fit_surface_in_classes(view).at(view.centres).mean(axis=1)).reshape(ROWS, COLS)
    assert np.ptp(told, axis=1).max() < 0.1
    steps = np.diff(told[:, 0])
    assert steps == pytest.approx(np.full(ROWS - 1, 0.7 * 5.5 / (height / 24)), abs=0.06)
    assert spread(seen(two, found, estimate_light(two, found))) < 1.5


def test_a_tint_that_only_the_ground_has_spreads_no_fabric_further_than_the_photo_does():
    photo, found = scene(ground=(0.3, 0.3, 0.3))
    linear = lab.srgb_to_linear(photo.pixels).astype(float)
    height = len(linear)
    stain = np.exp(np.linspace(-1.2, 1.2, height)[:, None, None] * np.array([1.0, 0.2, -0.8]))
    stained = np.clip(linear * stain, 0, 1)
    for square in found.squares:
        (x0, y0), _, (x1, y1), _ = square.corners
        stained[y0:y1, x0:x1] = linear[y0:y1, x0:x1]
    stood = Photo("stain.png", encoded(stained))
    light = estimate_light(stood, found)
    assert spread(seen(stood, found, light)) < 1.0


def plain(colours, light=None, seed=2):
    """The scene's layout with a cloth of its own in each square, no ground to be seen."""
    photo, found = scene(gap=0.0, inset=0.0)
    linear = lab.srgb_to_linear(photo.pixels).astype(float)
    for square, colour in zip(found.squares, colours, strict=True):
        (x0, y0), _, (x1, y1), _ = square.corners
        linear[y0:y1, x0:x1] = colour
    rng = np.random.default_rng(seed)
    linear *= np.exp(rng.normal(0, 0.01, (*linear.shape[:2], 1)))
    if light is not None:
        linear *= light(*linear.shape[:2])
    return Photo("plain.png", encoded(linear)), found


def dimming(height, width):
    """Light that falls off by a third from top to bottom."""
    return np.exp(-np.linspace(0, 0.4, height))[:, None, None] * np.ones((1, width, 3))


def test_prints_and_plains_are_evened_together_where_there_is_no_ground():
    kinds = [(r * 2 + c) % len(CLOTH) for r in range(ROWS) for c in range(COLS)]
    photo, found = plain([CLOTH[kind] for kind in kinds], dimming)
    linear = lab.srgb_to_linear(photo.pixels).astype(float)
    ys, xs = np.mgrid[: len(linear), : linear.shape[1]]
    dots = np.where(((xs // 9 + ys // 9) % 2 == 0)[..., None], 1.0, 0.5)
    for square, kind in zip(found.squares, kinds, strict=True):
        if kind:
            (x0, y0), _, (x1, y1), _ = square.corners
            linear[y0:y1, x0:x1] *= dots[y0:y1, x0:x1]
    printed = Photo("printed.png", encoded(linear))
    raw = seen(printed, found, estimate_light(printed, Found((), 0.0)))
    assert spread(raw) > 5
    assert spread(seen(printed, found, estimate_light(printed, found))) < 1.5


def test_squares_without_repeats_in_order_of_lightness_are_not_flattened():
    greys = np.geomspace(0.08, 0.7, ROWS * COLS)[:, None] * np.array([1.0, 0.95, 0.9])
    photo, found = plain(greys)
    light = estimate_light(photo, found)
    told = np.log(seen(photo, found, light).mean(axis=1))
    assert np.ptp(told) == pytest.approx(np.log(0.7 / 0.08), rel=0.15)


@pytest.mark.parametrize("slope", [-0.9, -0.4, 0.4, 0.9])
def test_ground_is_believed_though_squares_in_order_look_more_alike_without_it(slope):
    greys = np.geomspace(0.1, 0.5, COLS)[:, None] * np.array([1.0, 0.95, 0.9])

    def side_light(height, width):
        return np.exp(np.linspace(0, slope, width))[None, :, None] * np.full((height, 1, 3), 0.6)

    photo, found = scene(ground=(0.3, 0.3, 0.3))
    linear = lab.srgb_to_linear(photo.pixels).astype(float)
    for square in found.squares:
        (x0, y0), _, (x1, y1), _ = square.corners
        linear[y0:y1, x0:x1] = greys[square.col - 1] * (1 + 0.06 * (square.row - 2))
    photo = Photo("order.png", encoded(linear * side_light(*linear.shape[:2])))
    # the camera's tone, which this picture lacks, takes up to 0.22 off
    told = seen(photo, found, estimate_light(photo, found)).mean(axis=1).reshape(ROWS, COLS)
    assert np.log(told[:, -1] / told[:, 0]) == pytest.approx(np.log(5.0), abs=0.25)


@pytest.mark.parametrize("lamp", [(1.0, 0.6, 0.27), (0.75, 0.9, 1.0)])
def test_white_in_the_prints_is_known_under_any_lamp(lamp):
    photo, found = scene(ground=WOOD, light=lambda *_: np.array(lamp) * 0.75)
    light = estimate_light(photo, found)
    assert "whites in the prints" in light.evidence
    np.testing.assert_allclose(light.tint / light.tint[1], np.array(lamp) / lamp[1], rtol=0.15)


def test_a_sheet_as_bright_as_the_white_in_the_prints_is_white():
    photo, found = scene(ground=(0.8, 0.8, 0.79), light=lambda *_: np.full(3, 0.6))
    assert "white cloth" in estimate_light(photo, found).evidence


def test_bright_colours_without_white_are_taken_for_none(monkeypatch):
    monkeypatch.setattr("test_light.CLOTH", [(0.8, 0.1, 0.1), (0.1, 0.7, 0.1), (0.1, 0.1, 0.9)])
    photo, found = scene(ground=WOOD)
    assert "white" not in estimate_light(photo, found).evidence


@pytest.mark.parametrize("lamp", [(1.0, 0.6, 0.27), (0.9, 0.95, 1.0)])
def test_dyes_of_all_hues_tell_the_lamp_where_no_white_is(monkeypatch, lamp):
    dyes = [(0.75, 0.1, 0.12), (0.12, 0.62, 0.2), (0.1, 0.25, 0.72), (0.76, 0.6, 0.1)]
    monkeypatch.setattr("test_light.CLOTH", [*dyes, (0.4, 0.1, 0.5)])
    photo, found = scene(ground=WOOD, light=lambda *_: np.array(lamp) * 0.9)
    light = estimate_light(photo, found)
    np.testing.assert_allclose(light.tint / light.tint[1], np.array(lamp) / lamp[1], rtol=0.2)
    assert light.evidence.endswith("overall lightness is a guess")


def test_the_palest_of_warm_colours_alone_is_no_white_under_a_lamp(monkeypatch):
    peach = (0.8, 0.55, 0.35)
    warm = [(0.75, 0.1, 0.08), (0.7, 0.3, 0.05), peach, (0.75, 0.5, 0.1), (0.5, 0.1, 0.1)]
    monkeypatch.setattr("test_light.CLOTH", warm)
    photo, found = scene(ground=WOOD)
    light = estimate_light(photo, found)
    assert "camera's own balance" in light.evidence
    assert np.ptp(np.log(light.tint)) < 0.25  # the peach's own is 0.8
    assert light.tint_doubt > 0.15  # as camera and colours disagree


def test_black_cloth_tells_no_tint(monkeypatch):
    """Of what little it sends back a few hundredths are a strong tint."""
    monkeypatch.setattr("test_light.CLOTH", [(0.8, 0.1, 0.1), (0.1, 0.66, 0.1), (0.1, 0.1, 0.75)])
    photo, found = scene(ground=(0.030, 0.025, 0.020))
    light = estimate_light(photo, found)
    assert np.ptp(np.log(light.tint)) < 0.16  # the ground's own is 0.4
    assert light.tint_doubt > 0.04


def test_log_odds_favour_the_light_that_gathers_repeats():
    rng = np.random.default_rng(5)
    kinds = rng.normal(0, 0.8, (8, 3))
    true = kinds[np.arange(40) % 8] + rng.normal(0, 0.02, (40, 3))
    wrong = true + rng.normal(0, 0.3, (40, 1))
    pairs = pairs_of(np.zeros((40, 40)))
    assert compactness(true, pairs) > compactness(wrong, pairs)
    assert log_odds(true, wrong, pairs) > 10
    assert log_odds(wrong, true, pairs) < -10


def test_log_odds_say_nothing_of_colours_that_never_repeat():
    rng = np.random.default_rng(6)
    true = rng.uniform(-3, 3, (30, 3))
    odds = log_odds(true, true + rng.normal(0, 0.2, (30, 1)), pairs_of(np.zeros((30, 30))))
    assert abs(odds) < 2


def test_a_light_that_parts_repeats_further_than_the_photo_is_not_applied(monkeypatch):
    """Whatever spoke for it: here the ground is believed against the squares."""
    photo, found = scene(ground=(0.3, 0.3, 0.3))
    linear = lab.srgb_to_linear(photo.pixels).astype(float)
    stained = linear * np.exp(np.linspace(-0.6, 0.6, len(linear)) ** 3 * 5)[:, None, None]
    for square in found.squares:
        (x0, y0), _, (x1, y1), _ = square.corners
        stained[y0:y1, x0:x1] = linear[y0:y1, x0:x1]
    stood = Photo("stain.png", encoded(np.clip(stained, 0, 1)))
    monkeypatch.setattr(selection, "log_odds_between", lambda *_: 99.0)
    light = estimate_light(stood, found)
    assert light.unevenness < 1.1
    assert spread(seen(stood, found, light)) < 1.0
