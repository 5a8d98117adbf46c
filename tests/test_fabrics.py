"""Squares of one fabric told together, prints of one colour told apart."""

import random
from dataclasses import replace

import cv2
import numpy as np

from catalog.bundle.fabrics import SEVERAL, tell_fabrics
from catalog.bundle.print_likeness import COLOUR_TERMS, LOOK_TERMS, PRINT_TERMS
from catalog.colour import lab
from catalog.colour.ciede2000 import ciede2000
from catalog.measuring import measure
from catalog.measuring.print_features import DIRECTIONS
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


def blooms(seed, inks, size=5 * SIDE):
    """A large print of which a square shows a few figures, each of one of several inks."""
    rng = np.random.default_rng(seed)
    tile = np.tile(np.array(inks[0], float), (size, size, 1))
    for x in range(0, size, 62):
        for y in range(0, size, 62):
            place = (x + int(rng.integers(-14, 14)), y + int(rng.integers(-14, 14)))
            ink = inks[int(rng.integers(1, len(inks)))]
            cv2.circle(tile, place, int(rng.integers(16, 34)), ink, -1)
            cv2.circle(tile, place, 8, inks[1], -1)

    def cut(rng):
        x, y = rng.integers(0, size - SIDE, 2)
        return tile[y : y + SIDE, x : x + SIDE]

    return cut


INKS = [(0.8, 0.75, 0.6), (0.6, 0.08, 0.12), (0.06, 0.2, 0.3), (0.75, 0.4, 0.08)]
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


def test_cuts_of_a_large_print_are_one_fabric_and_its_recolouring_another():
    swatches, kinds = bundle([blooms(1, INKS), blooms(1, [INKS[0], *INKS[:0:-1]]), plain(INKS[0])])
    recoloured, kinds_too = bundle([blooms(1, INKS), blooms(1, [one[::-1] for one in INKS])])
    for told, true in ((tell_fabrics(swatches), kinds), (tell_fabrics(recoloured), kinds_too)):
        cloth = [one.fabric for one, kind in zip(told, true, strict=True) if kind == 0]
        assert len(set(cloth)) == 1
    assert len({one.fabric for one in tell_fabrics(recoloured)}) == 2
    assert tell_fabrics(swatches)[kinds.index(2)].fabric != cloth[0]


def test_squares_kept_without_a_look_are_told_as_before():
    swatches, kinds = bundle()
    assert {len(one.signature) for one in swatches} == {PRINT_TERMS + LOOK_TERMS}
    kept = [replace(one, signature=one.signature[:PRINT_TERMS]) for one in swatches]
    for several in (kept, kept[:5] + list(swatches[5:])):
        told = [one.fabric for one in tell_fabrics(several)]
        assert len(set(zip(told, kinds, strict=True))) == len(FABRICS) == len(set(told))


def lighter(swatch, by, doubt):
    """The square as misjudged light shows it, and how sure it is of its colour."""
    signature = swatch.signature.copy()
    signature[:COLOUR_TERMS] += np.repeat(DIRECTIONS[:, 0] * by, COLOUR_TERMS // len(DIRECTIONS))
    return replace(swatch, signature=signature, own_uncertainty=doubt)


def test_a_square_whose_colour_is_in_doubt_may_be_of_the_fabric_that_it_looks_like():
    swatches, _ = bundle([FABRICS[0], FABRICS[2]], each=3)
    for doubt, fabrics in ((2.0, 3), (14.0, 2)):
        told = tell_fabrics([lighter(swatches[0], 14.0, doubt), *swatches[1:]])
        assert len({one.fabric for one in told}) == fabrics
        assert (SEVERAL in told[0].flags) == (fabrics == 2)
