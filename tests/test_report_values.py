"""The picture in grey shows each square as light as it was measured."""

from dataclasses import replace

import numpy as np
import pytest
from test_report_picture import SIDE, STEP, a_set, bundle, found_picture

from catalog.colour.lab import srgb8_to_lab
from catalog.report.pictures.outlines import as_jpeg, shrunk_squares
from catalog.report.pictures.photo_jpegs import draw_squares, jpegs_of
from catalog.report.pictures.value_picture import draw_values


def value_picture(photo, swatches, sets):
    """The values, on the photo made smaller."""
    return draw_values(shrunk_squares(photo, swatches), sets)


def lightness(picture, col, across, down):
    """L* at a place of the square in this column, by shares of its sides."""
    x, y = int(20 + STEP * col + SIDE * across), int(20 + SIDE * down)
    grey = picture[y - 2 : y + 3, x - 2 : x + 3].mean().round().astype(np.uint8)
    return srgb8_to_lab(np.full(3, grey))[0]


@pytest.fixture
def shown():
    photo, swatches = bundle()
    measured = [30.0, 45.0, 60.0, 75.0]
    lit = [replace(s, lab=(v, 0.0, 0.0)) for s, v in zip(swatches, measured, strict=True)]
    return photo, lit, measured


def test_cloth_and_bar_have_the_lightness_that_was_measured(shown):
    photo, swatches, measured = shown
    picture = value_picture(photo, swatches, [])
    for col, value in enumerate(measured):
        assert lightness(picture, col, 0.3, 0.5) == pytest.approx(value, abs=0.5)
        assert lightness(picture, col, 0.5, 0.265) == pytest.approx(value, abs=0.5)


def test_a_print_keeps_its_lights_and_darks(shown):
    photo, swatches, measured = shown
    pixels = photo.pixels.copy()
    pixels[60:80, 20:120] = 250
    picture = value_picture(replace(photo, pixels=pixels), swatches, [])
    assert lightness(picture, 0, 0.3, 0.5) > measured[0] + 10 > lightness(picture, 0, 0.3, 0.7) + 10


def test_outlines_words_and_numbers_are_drawn(shown):
    photo, swatches, _ = shown
    plain = value_picture(photo, [], [])
    drawn = value_picture(photo, swatches, [])
    numbered = value_picture(photo, swatches, [a_set(1, "R1C1", "R1C2")])
    assert plain.ndim == drawn.ndim == 2
    foot = np.s_[100:116, 26:80]
    assert (drawn[foot] != value_picture(photo, swatches[1:], [])[foot]).any()
    assert (numbered != drawn)[50:90, 50:90].any()
    assert (numbered == drawn)[:, 260:].all()


def test_the_word_for_value_is_written(shown):
    photo, swatches, _ = shown
    light = [replace(s, value="light") for s in swatches]
    foot = np.s_[100:116, 26:80]
    one, two = (value_picture(photo, given, [])[foot] for given in (swatches, light))
    assert (one != two).any()


def test_both_jpegs_of_a_photo_show_what_each_picture_does(shown):
    photo, swatches, _ = shown
    sets = [a_set(1, "R1C1", "R1C2")]
    found, values = jpegs_of(draw_squares(photo, swatches), sets)
    assert found.startswith(b"\xff\xd8")
    assert found == as_jpeg(found_picture(photo, swatches, sets))
    assert values == as_jpeg(value_picture(photo, swatches, sets))


def test_pictures_may_be_drawn_before_fabrics_and_families_are_told(shown):
    photo, swatches, _ = shown
    sets = [a_set(1, "R1C1", "R1C2")]
    told = [
        replace(one, fabric="F01", family="reds", flags=(*one.flags, "fabric may be F02"))
        for one in swatches
    ]
    before, after = (jpegs_of(draw_squares(photo, given), sets) for given in (swatches, told))
    assert before == after
