"""Squares of one fabric told together, prints of one colour told apart."""

import random

import cv2
import numpy as np

from catalog.bundle.fabrics import tell_fabrics
from catalog.colour import lab
from catalog.colour.ciede2000 import ciede2000
from catalog.measuring import measure
from catalog.models import Found, Light, Photo, Square

SIDE = 130
NEUTRAL = Light(np.ones(3), np.ones((1, 1, 3), np.float32), "made", 1.0, 0.0)


def plain(colour):
    return lambda rng: np.tile(np.array(colour), (SIDE, SIDE, 1))


def dots(ground, dot, radius=8, step=32):
    def cut(rng):
        cloth = np.tile(np.array(ground, float), (SIDE, SIDE, 1))
        dx, dy = rng.integers(0, step, 2)
        for x in range(-step, SIDE + step, step):
            for y in range(-step, SIDE + step, step):
                cv2.circle(cloth, (int(x + dx), int(y + dy)), radius, tuple(map(float, dot)), -1)
        return cloth

    return cut


def stripes(one, two, width=10):
    def cut(rng):
        place = (np.arange(SIDE) + rng.integers(0, 2 * width)) // width % 2 == 0
        return np.where(place[None, :, None], one, two) * np.ones((SIDE, 1, 1))

    return cut


FABRICS = [
    plain((0.5, 0.1, 0.1)),
    plain((0.1, 0.4, 0.2)),
    dots((0.1, 0.15, 0.5), (0.85, 0.85, 0.8)),
    dots((0.5, 0.1, 0.3), (0.85, 0.85, 0.8)),
    stripes((0.1, 0.15, 0.5), (0.85, 0.85, 0.8)),
    dots((0.1, 0.15, 0.5), (0.85, 0.85, 0.8), radius=3, step=12),
]


def bundle(fabrics=FABRICS, each=4, seed=3):
    """Squares of each fabric, cut and turned anyhow, under slightly uneven light."""
    rng = np.random.default_rng(seed)
    kinds = [n for n in range(len(fabrics)) for _ in range(each)]
    rng.shuffle(kinds)
    pitch, cols = SIDE + 20, 6
    rows = -(-len(kinds) // cols)
    linear = np.full((rows * pitch, cols * pitch, 3), 0.3)
    squares = []
    for place, kind in enumerate(kinds):
        r, c = divmod(place, cols)
        x, y = c * pitch + 10, r * pitch + 10
        cloth = np.rot90(fabrics[kind](rng), rng.integers(0, 4))
        linear[y : y + SIDE, x : x + SIDE] = cloth * rng.uniform(0.97, 1.03)
        corners = ((x, y), (x + SIDE, y), (x + SIDE, y + SIDE), (x, y + SIDE))
        squares.append(Square(corners, r + 1, c + 1, 5.0, 5.0, 1.0))
    pixels = np.round(lab.linear_to_srgb(np.clip(linear, 0, 1)) * 255).astype(np.uint8)
    return measure(Photo("p", pixels), Found(tuple(squares), SIDE / 5), NEUTRAL), kinds


def test_fabrics_are_told_whatever_the_turn_and_the_cut():
    swatches, kinds = bundle()
    told = [s.fabric for s in tell_fabrics(swatches)]
    assert len(set(zip(told, kinds, strict=True))) == len(FABRICS) == len(set(told))


def test_two_prints_of_one_mean_colour_are_two_fabrics():
    one, two = (0.1, 0.15, 0.5), (0.85, 0.85, 0.8)
    wide, narrow = stripes(one, two, 16), stripes(one, two, 4)
    swatches, kinds = bundle([wide, narrow])
    assert len({s.fabric for s in tell_fabrics(swatches)}) == 2
    means = np.array([s.lab for s in swatches])
    across = [means[np.array(kinds) == n].mean(axis=0) for n in (0, 1)]
    assert ciede2000(*across) < 4


def test_one_print_in_two_colourways_is_two_fabrics():
    swatches, _ = bundle(
        [dots((0.1, 0.15, 0.5), (0.9, 0.9, 0.9)), dots((0.1, 0.4, 0.2), (0.9,) * 3)]
    )
    assert len({s.fabric for s in tell_fabrics(swatches)}) == 2


def test_names_do_not_hang_on_the_order():
    swatches, _ = bundle(each=2)
    told = {s.label: s.fabric for s in tell_fabrics(swatches)}
    shuffled = list(swatches)
    random.Random(4).shuffle(shuffled)
    assert {s.label: s.fabric for s in tell_fabrics(shuffled)} == told
    assert told["R1C1"] == "F01"


def test_order_given_is_kept():
    swatches, _ = bundle(each=1)
    assert [s.label for s in tell_fabrics(swatches[::-1])] == [s.label for s in swatches[::-1]]


def test_one_square_or_none():
    swatches, _ = bundle(each=1)
    assert tell_fabrics(swatches[:1])[0].fabric == "F01"
    assert tell_fabrics(()) == ()
