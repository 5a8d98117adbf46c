"""Pictures that nobody would take: numbers stay numbers, and no library warns (warnings fail)."""

import io

import numpy as np
import pytest
from PIL import Image

from catalog.analysis import analyse_photo, remeasure_photo
from catalog.light import estimate_light
from catalog.measuring import measure
from catalog.models import Found, LightHints, Square
from catalog.photo import decode_photo


def file_of(pixels):
    content = io.BytesIO()
    Image.fromarray(np.ascontiguousarray(pixels, np.uint8)).save(content, "PNG")
    return content.getvalue()


def all_of(value, high=480, wide=640):
    return np.full((high, wide, 3), value, np.uint8)


def sound(looked):
    assert looked.problem is None, looked.problem
    assert np.isfinite([one.lab for one in looked.swatches]).all()
    assert np.isfinite([one.square.corners for one in looked.swatches]).all()
    return looked


@pytest.mark.parametrize("value", [0, 1, 128, 254, 255])
def test_a_picture_of_one_colour(value):
    assert sound(analyse_photo(file_of(all_of(value)), "x", 5.0)).swatches == ()


SIZES = [(1, 1), (1, 100), (100, 1), (2, 3), (8, 8), (16, 16), (40, 30), (3, 3000), (5000, 20)]


@pytest.mark.parametrize(("high", "wide"), SIZES)
def test_a_picture_that_is_tiny_or_a_line(high, wide):
    noise = np.random.default_rng(1).integers(0, 256, (high, wide, 3))
    sound(analyse_photo(file_of(noise), "x", 5.0))


CLOTH = [(200, 40, 50), (30, 90, 160), (240, 220, 120), (60, 140, 70), (120, 60, 130)]
LAYOUTS = {
    "usual": {},
    "hardly any ground": {"gap": 2, "rim": 0},
    "edge to edge": {"gap": 0, "rim": 0},
    "one square": {"rows": 1, "cols": 1},
    "one row": {"rows": 1, "cols": 9, "side": 100},
    "black ground": {"ground": (0, 0, 0)},
    "white ground": {"ground": (255, 255, 255)},
    "black cloth": {"cloth": [(0, 0, 0)]},
    "white cloth": {"cloth": [(255, 255, 255)]},
    "pure colours": {"cloth": [(255, 0, 0), (0, 255, 0), (0, 0, 255)], "ground": (0, 0, 0)},
    "very dark": {"cloth": [(8, 2, 2), (2, 6, 2), (1, 1, 9)], "ground": (3, 3, 3)},
    "small squares": {"rows": 8, "cols": 12, "side": 14, "gap": 4},
    "far away": {"rows": 3, "cols": 3, "side": 60, "rim": 700},
}


def drawn(rows=4, cols=6, side=150, gap=30, rim=30, ground=(120, 110, 100), cloth=CLOTH):
    size = [n * side + (n - 1) * gap + 2 * rim for n in (rows, cols)]
    picture = np.empty((*size, 3))
    picture[:] = ground
    for number in range(rows * cols):
        y, x = (rim + place * (side + gap) for place in divmod(number, cols))
        picture[y : y + side, x : x + side] = cloth[number % len(cloth)]
    return picture


@pytest.mark.parametrize("layout", LAYOUTS.values(), ids=LAYOUTS)
def test_a_layout_that_is_odd(layout):
    content = file_of(drawn(**layout))
    looked = sound(analyse_photo(content, "x", 5.0))
    for one in looked.swatches[:1]:
        for said in ({"white": one.label}, {"grey": one.label}, {"ground": "grey"}):
            sound(remeasure_photo(content, "x", looked.found, None, LightHints(**said)))


@pytest.mark.parametrize("made", [lambda a: (a > 128) * 255, lambda a: a * 0.04, lambda a: a * 3.0])
def test_a_photo_in_two_levels_or_far_too_dark_or_bright(small_photo, made):
    with Image.open(small_photo) as photo:
        pixels = np.asarray(photo.convert("RGB"))
    sound(analyse_photo(file_of(np.clip(made(pixels), 0, 255)), "x", 5.0))


def square_at(left, top, right, bottom, row, col):
    corners = ((left, top), (right, top), (right, bottom), (left, bottom))
    return Square(tuple((float(x), float(y)) for x, y in corners), row, col, 5.0, 5.0, 0.97)


def slivers(count):
    """Squares edge to edge, and as ground a strip at one side, shaded: photo and squares."""
    chance = np.random.default_rng(4)
    for _ in range(count):
        rows, cols, side = (int(chance.integers(*ends)) for ends in ((2, 7), (2, 9), (40, 120)))
        strip = int(chance.integers(2, 12))
        picture = np.empty((rows * side, cols * side + strip, 3))
        squares = []
        for row in range(rows):
            for col in range(cols):
                left, top = strip + col * side, row * side
                picture[top : top + side, left : left + side] = chance.uniform(10, 245, 3)
                squares.append(square_at(left, top, left + side, top + side, row + 1, col + 1))
        shade = np.linspace(*chance.uniform(0.3, 1.0, 2), strip)[:, None]
        picture[:, :strip] = chance.uniform(30, 230, 3) * shade
        picture += chance.normal(0, chance.uniform(0, 6), picture.shape)
        photo = decode_photo(file_of(np.clip(picture, 0, 255)), "x")
        yield photo, Found(tuple(squares), 20.0)


@pytest.mark.parametrize(
    "count", [8, pytest.param(1000, marks=pytest.mark.slow)], ids=["some", "many"]
)
def test_a_sliver_of_ground_tells_nothing_of_light_that_it_does_not_show(count):
    for photo, found in slivers(count):
        light = estimate_light(photo, found)
        colours = np.array([one.lab for one in measure(photo, found, light)])
        assert np.isfinite(colours).all()
        assert np.isfinite(light.field).all()
        assert light.field.max() / light.field.min() < 1000
