"""Lights of several photos brought together by the prints they share."""

from dataclasses import replace

import numpy as np
import pytest
from test_light import scene

from catalog.colour import lab
from catalog.colour.ciede2000 import ciede2000
from catalog.light import estimate_light, join_lights
from catalog.measuring import measure
from catalog.models import Photo


def printed(seed, cast):
    """Squares of dotted prints in a light of this cast; the first eight are the same always."""
    photo, found = scene(seed=seed)
    linear = lab.srgb_to_linear(photo.pixels).astype(np.float64)
    for number, square in enumerate(found.squares):
        rng = np.random.default_rng(number if number < 8 else 100 * seed + number)
        ground, dots = rng.uniform(0.1, 0.8, (2, 3))
        (x0, y0), _, (x1, y1), _ = square.corners
        cloth = np.broadcast_to(ground, (y1 - y0, x1 - x0, 3)).copy()
        step = int(rng.integers(9, 24))
        ys, xs = np.mgrid[: y1 - y0, : x1 - x0]
        cloth[np.hypot(xs % step - step / 2, ys % step - step / 2) < step / 3] = dots
        linear[y0:y1, x0:x1] = cloth
    pixels = np.round(lab.linear_to_srgb(np.clip(linear * cast, 0, 1)) * 255).astype(np.uint8)
    return Photo(f"{seed}.png", pixels), found


@pytest.fixture(scope="module")
def photos():
    return [printed(1, (0.8, 0.8, 0.8)), printed(2, (0.95, 0.8, 0.7))]


def measured(photos, lights):
    return [measure(*one, light) for one, light in zip(photos, lights, strict=True)]


def apart(groups):
    one, two = (np.array([s.lab for s in group[:8]]) for group in groups)
    return float(np.median(ciede2000(one, two)))


def skewed(photos):
    """Lights whose second one is misjudged."""
    lights = [estimate_light(*one) for one in photos]
    lights[1] = replace(lights[1], tint=lights[1].tint * (1.15, 1.0, 0.9))
    return lights


def test_shared_prints_come_out_alike(photos):
    lights = skewed(photos)
    before = apart(measured(photos, lights))
    joined = join_lights(lights, measured(photos, lights))
    assert apart(measured(photos, joined)) < 0.4 * before
    assert all("prints that several photos share" in light.evidence for light in joined)


def test_the_surer_light_moves_less(photos):
    lights = skewed(photos)
    lights[0] = replace(lights[0], tint_doubt=0.01, level_doubt=0.01)
    joined = join_lights(lights, measured(photos, lights))
    moved = [np.abs(np.log(a.tint / b.tint)).max() for a, b in zip(joined, lights, strict=True)]
    assert moved[0] < 0.1 * moved[1]


def test_photos_of_other_cloth_are_left_alone(photos):
    lights = [estimate_light(*one) for one in photos]
    groups = measured(photos, lights)
    other = [groups[0][8:], groups[1][8:]]
    assert join_lights(lights, other) == tuple(lights)


def test_a_photo_without_squares_stays_none(photos):
    light = estimate_light(*photos[0])
    assert join_lights([light, None], [measure(*photos[0], light), ()]) == (light, None)
