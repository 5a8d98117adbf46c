"""A colour chart beside the squares: found, turned, fitted; on pictures made here."""

import cv2
import numpy as np
import pytest
from test_light import CLOTH, COLS, ROWS, scene

from catalog.colour import camera_response, lab
from catalog.colour.ciede2000 import ciede2000
from catalog.light import estimate_light, without_chart
from catalog.light.references.chart_fit import editions, fit_chart
from catalog.light.references.chart_reading import find_chart
from catalog.light.references.flat_patches import flat_patches
from catalog.measuring import measure
from catalog.models import Found, Photo, Square

PATCH = 26
FRAME = (0.03, 0.03, 0.03)


def drawn_chart(edition="after 2014", turns=0, patch=PATCH):
    """A chart in linear light, its patches four fifths of a step."""
    true = lab.lab_to_linear(editions()[edition]).reshape(4, 6, 3)
    step = round(patch * 1.25)
    picture = np.empty((4 * step + 6, 6 * step + 6, 3))
    picture[:] = FRAME
    for row in range(4):
        for col in range(6):
            y, x = 6 + row * step, 6 + col * step
            picture[y : y + patch, x : x + patch] = np.clip(true[row, col], 0, 1)
    return np.rot90(picture, turns)


def shot(linear, tone=(0.2, 1.1, 1.0), gains=(1.0, 1.0, 1.0)):
    """What a camera with this tone makes of linear light, uint8."""
    contrast, saturation, power = tone
    light = np.clip(linear * gains, 0, 1) ** (1 / power)
    encoded = lab.linear_to_srgb(light)
    grey = (encoded @ camera_response.LUMA)[..., None]
    x = np.clip(grey + (encoded - grey) * saturation, 0, 1)
    return np.round((x + contrast * (3 * x**2 - 2 * x**3 - x)) * 255).astype(np.uint8)


def with_chart(turns=0, **camera_makes):
    """Squares on tan ground with a chart below them."""
    photo, found = scene(ground=(0.35, 0.25, 0.16), inset=8.0)
    linear = lab.srgb_to_linear(photo.pixels).astype(np.float64)
    chart = drawn_chart(turns=turns)
    height, width = chart.shape[:2]
    linear[-height - 4 : -4, 20 : 20 + width] = chart
    return type(photo)("made.png", shot(linear, **camera_makes)), found


def looked_for(pixels):
    free = np.ones(pixels.shape[:2], bool)
    return find_chart(pixels, flat_patches(pixels, free, 60, 3000), free)


def on_table(chart, height=400, width=500):
    table = np.full((height, width, 3), 0.3)
    table[60 : 60 + chart.shape[0], 80 : 80 + chart.shape[1]] = chart
    return table


@pytest.mark.parametrize("turns", range(4))
def test_a_chart_is_found_whichever_way_it_lies(turns):
    chart = looked_for(shot(on_table(drawn_chart(turns=turns))))
    corner = {0: (80, 60), 1: (80, 60 + 198), 2: (80 + 198, 60 + 134), 3: (80 + 134, 60)}[turns]
    assert np.linalg.norm(chart.centres[0] - corner) < 45
    fit = fit_chart(chart.pixels, chart.good, np.ones((24, 3)))
    assert fit.off < 1.0


def test_a_chart_seen_aslant_is_found():
    picture = shot(on_table(drawn_chart()))
    quad = np.float32([[0, 0], [500, 0], [500, 400], [0, 400]])
    aslant = np.float32([[60, 20], [470, 60], [430, 390], [10, 330]])
    there = cv2.getPerspectiveTransform(quad, aslant)
    chart = looked_for(cv2.warpPerspective(picture, there, (500, 400), borderValue=(90, 90, 90)))
    first = cv2.perspectiveTransform(np.float32([[[99, 79]]]), there)[0, 0]
    assert np.linalg.norm(chart.centres[0] - first) < 3


def test_a_mirrored_chart_and_a_check_are_none():
    assert looked_for(shot(on_table(drawn_chart()[:, ::-1]))) is None
    rng = np.random.default_rng(3)
    other = drawn_chart()
    for row in range(4):
        for col in range(6):
            y, x = 6 + row * 32, 6 + col * 32
            other[y : y + PATCH, x : x + PATCH] = rng.uniform(0.05, 0.9, 3)
    assert looked_for(shot(on_table(other))) is None


@pytest.mark.parametrize("tone", [(0.2, 1.1, 1.0), (0.0, 1.0, 1.0), (0.1, 1.0, 0.7)])
def test_half_the_patches_tell_the_others(tone):
    chart = looked_for(shot(on_table(drawn_chart()), tone=tone, gains=(0.8, 0.9, 0.6)))
    half = np.arange(24) % 2 == 0
    fit = fit_chart(chart.pixels, chart.good & half, np.ones((24, 3)))
    told = fit.colours(chart.pixels)[chart.good & ~half]
    assert np.median(ciede2000(told, editions()["after 2014"][chart.good & ~half])) < 3.0


@pytest.mark.parametrize("edition", ["1976", "after 2014"])
def test_the_edition_is_chosen_by_fit(edition):
    chart = looked_for(shot(on_table(drawn_chart(edition))))
    assert fit_chart(chart.pixels, chart.good, np.ones((24, 3))).edition == edition


def test_clipped_patches_are_no_witnesses():
    chart = looked_for(shot(on_table(drawn_chart()), gains=(1.5, 1.5, 1.5)))
    assert not chart.good[18]
    fit = fit_chart(chart.pixels, chart.good, np.ones((24, 3)))
    assert fit.off < 1.5


def test_a_camera_of_another_tone_and_balance_is_seen_through():
    photo, found = with_chart(tone=(0.35, 1.2, 0.8), gains=(0.95, 0.8, 0.6))
    light = estimate_light(photo, found)
    assert light.evidence.startswith("the colour chart")
    told = np.array([s.lab for s in measure(photo, found, light)])
    kinds = [(r * 2 + c) % len(CLOTH) for r in range(ROWS) for c in range(COLS)]
    true = lab.linear_to_lab(np.array(CLOTH))[kinds]
    assert np.median(ciede2000(told, true)) < 2.0


def test_squares_are_no_chart():
    photo, found = scene()
    assert "chart" not in estimate_light(photo, found).evidence


def patches_as_squares(chart, size):
    """What is found where a chart's patches pass for squares."""
    corners = np.array([(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)]) * size
    return tuple(
        Square(tuple(map(tuple, middle + corners)), n // 6 + 1, n % 6 + 1, 5.0, 5.0, 1.0)
        for n, middle in enumerate(chart.centres)
    )


def test_patches_of_a_chart_are_no_squares():
    pixels = shot(on_table(drawn_chart()))
    squares = patches_as_squares(looked_for(pixels), 24.0)
    left = without_chart(Photo("chart.png", pixels), Found(squares, 5.0))
    assert left.squares == ()
    assert left.chart_patches == 24


def test_a_square_beside_the_chart_stays():
    pixels = shot(on_table(drawn_chart()))
    cloth = Square(((20, 300), (44, 300), (44, 324), (20, 324)), 5, 1, 5.0, 5.0, 1.0)
    squares = (*patches_as_squares(looked_for(pixels), 24.0), cloth)
    assert without_chart(Photo("chart.png", pixels), Found(squares, 5.0)).squares == (cloth,)


def test_plain_squares_in_rows_are_no_chart():
    rng = np.random.default_rng(8)
    pixels = shot(on_table(drawn_chart()))
    chart = looked_for(pixels)
    for x, y in chart.centres.astype(int).tolist():
        pixels[y - 13 : y + 13, x - 13 : x + 13] = rng.integers(30, 220, 3)
    found = Found(patches_as_squares(chart, 24.0), 5.0)
    assert without_chart(Photo("plain.png", pixels), found) is found


def test_white_stays_white_when_channels_are_mixed():
    chart = looked_for(shot(on_table(drawn_chart()), tone=(0.1, 1.0, 0.7), gains=(0.8, 0.9, 0.6)))
    fit = fit_chart(chart.pixels, chart.good, np.ones((24, 3)))
    np.testing.assert_allclose(camera_response.mixed(np.ones((1, 3)), fit.mixing), 1.0, atol=1e-6)


def test_roots_of_products_mind_no_exposure():
    """Finlayson, Mackiewicz and Hurlbert 2015; and they say nothing of greys."""
    rng = np.random.default_rng(9)
    roots = rng.normal(0, 0.2, (3, 3))
    mixing = np.column_stack([np.eye(3), np.zeros(3), roots, np.ones(3)])
    colours = rng.uniform(0.05, 0.9, (20, 3))
    darker = camera_response.mixed(0.3 * colours, mixing)
    np.testing.assert_allclose(darker, 0.3 * camera_response.mixed(colours, mixing))
    greys = np.repeat(rng.uniform(0, 1, (5, 1)), 3, axis=1)
    np.testing.assert_allclose(camera_response.mixed(greys, mixing), greys, atol=1e-12)
