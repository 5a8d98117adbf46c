"""Which square lies on top is told by the prints; only what is hidden is left out."""

import numpy as np
import pytest

from catalog.colour import lab
from catalog.colour.ciede2000 import ciede2000
from catalog.measuring import measure
from catalog.measuring.overlap_order import on_top
from catalog.models import Found, Light, Photo, Square

NEUTRAL = Light(np.ones(3), np.ones((1, 1, 3), np.float32), "made", 1.0, 0.0)
SIDE, SHIFT = 200, 140
RED, BLUE, GREEN = (0.6, 0.1, 0.1), (0.1, 0.1, 0.6), (0.1, 0.5, 0.1)


def column(order, colours=(RED, BLUE, GREEN), dots=(0.5, 0.5, 0.5)):
    """Dotted squares one below the other, each over part of the next, laid in this order."""
    linear = np.full((2 * SHIFT + SIDE + 80, SIDE + 80, 3), 0.3)
    ys, xs = np.mgrid[:SIDE, :SIDE]
    dotted = ((ys // 10 + xs // 10) % 4 == 0)[..., None]
    for index in order:
        top = 40 + index * SHIFT
        linear[top : top + SIDE, 40 : 40 + SIDE] = np.where(dotted, dots, colours[index])
    pixels = np.round(lab.linear_to_srgb(linear) * 255).astype(np.uint8)
    squares = []
    for index in range(3):
        top, left = 40.0 + index * SHIFT, 40.0
        low, right = top + SIDE, left + SIDE
        corners = ((left, top), (right, top), (right, low), (left, low))
        squares.append(Square(corners, index + 1, 1, 5.0, 5.0, 1.0))
    return Photo("made.png", pixels), Found(tuple(squares), SIDE / 5)


@pytest.mark.parametrize(
    ("order", "upper"),
    [((0, 1, 2), {(1, 0), (2, 1)}), ((2, 1, 0), {(0, 1), (1, 2)}), ((0, 2, 1), {(1, 0), (1, 2)})],
)
def test_the_upper_square_is_told_by_its_print(order, upper):
    over = on_top(*column(order))
    assert {(int(i), int(j)) for i, j in np.argwhere(over)} == upper


def test_two_squares_of_one_cloth_are_not_told_apart():
    assert not on_top(*column((0, 1, 2), (RED, RED, RED))).any()


def test_squares_side_by_side_do_not_overlap():
    photo, found = column((0, 1, 2))
    apart = Found((found.squares[0], found.squares[2]), found.pixels_per_inch)
    assert not on_top(photo, apart).any()


def test_the_upper_square_is_measured_whole_and_the_lower_where_it_is_seen():
    photo, found = column((0, 1, 2))
    told = measure(photo, found, NEUTRAL)
    (alone,) = measure(photo, Found(found.squares[2:], 40.0), NEUTRAL)
    assert told[2].lab == pytest.approx(alone.lab, abs=1e-4)
    dotted = np.full(3, 0.5) * 0.25
    for swatch, colour in zip(told[:2], (RED, BLUE), strict=True):
        true = lab.linear_to_lab(dotted + 0.75 * np.array(colour))
        assert ciede2000(swatch.lab, true) < 2.5
