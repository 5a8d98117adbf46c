"""Lights of several photos brought together by the prints they share."""

from dataclasses import replace

import numpy as np
import pytest
from test_light import scene

from catalog.bundle.print_likeness import (
    COLOUR_TERMS,
    PRINT_TERMS,
    Prints,
    unlikeness_of_pairs,
)
from catalog.colour import lab
from catalog.colour.ciede2000 import ciede2000
from catalog.light import estimate_light, join_lights
from catalog.light.shared_prints import shared_prints
from catalog.measuring import measure
from catalog.models import Photo, Square, Swatch


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


def drawn_prints(rng, prints, squares):
    """A photo's squares of some prints, each print's numbers a little other in each square."""
    outline = Square(((0, 0), (9, 0), (9, 9), (0, 9)), 1, 1, 5.0, 5.0, 1.0)
    drawn = []
    for number, which in enumerate(rng.integers(0, len(prints), squares)):
        mean, signature = prints[which]
        off = rng.normal(0, 1, PRINT_TERMS) * rng.choice([0.0, 0.3, 1.5])
        off[COLOUR_TERMS:] *= 0.2
        told = signature + off
        told[COLOUR_TERMS:] = np.abs(told[COLOUR_TERMS:])
        colour = tuple(np.clip(mean + rng.normal(0, 3, 3), (0, -90, -90), (100, 90, 90)))
        drawn.append(Swatch(f"S{number}", "p", outline, colour, "busy", 5.0, signature=told))
    return drawn


def each_two(groups, least):
    """Photos and squares by comparing each two photos in full."""
    for two in range(1, len(groups)):
        for one in range(two):
            if groups[one] and groups[two]:
                both = Prints.of([*groups[one], *groups[two]])
                first, second = np.indices((len(groups[one]), len(groups[two])))
                of_pairs = unlikeness_of_pairs(
                    both, first.ravel(), len(groups[one]) + second.ravel()
                )
                unlike = of_pairs.reshape(first.shape)
                across, down = unlike.argmin(axis=1), unlike.argmin(axis=0)
                pairs = [
                    (i, int(j)) for i, j in enumerate(across) if unlike[i, j] < 1.0 and down[j] == i
                ]
                if len(pairs) >= least:
                    yield one, two, pairs


@pytest.mark.parametrize("seed", range(4))
def test_no_shared_print_is_lost_by_telling_all_photos_at_once(seed):
    rng = np.random.default_rng(seed)
    prints = []
    for spread in rng.uniform(0.5, 15, 25):
        quantiles = np.sort(rng.normal(0, spread, (13, 16)), axis=1).ravel()
        contrasts = rng.uniform(0.1, spread, PRINT_TERMS - COLOUR_TERMS)
        mean = rng.uniform((30, -30, -30), (80, 30, 30))
        prints.append((mean, np.concatenate([quantiles, contrasts])))
    groups = [drawn_prints(rng, prints, squares) for squares in (12, 0, 30, 1, 25, 12)]
    groups += [groups[0], prints_alike := groups[2][:4] * 2, prints_alike]
    expected = sorted(each_two(groups, 1))
    assert sum(len(pairs) for _, _, pairs in expected) > 60
    assert sorted(shared_prints(groups, 1)) == expected
    expected = [told for told in expected if len(told[2]) >= 3]
    assert sorted(shared_prints(groups, 3)) == expected
    assert list(shared_prints([[], []], 1)) == list(shared_prints([], 1)) == []
