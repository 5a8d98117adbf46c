from dataclasses import replace

import numpy as np
import pytest

from catalog.colour.lab import lab_to_srgb8
from catalog.models import NOT_COUNTED, PaletteColour, Photo, Square, SquareSet, Swatch
from catalog.report.pictures.found_picture import MAX_SETS_JOINED, draw_found
from catalog.report.pictures.outlines import LONG_SIDE, shrunk, shrunk_squares
from catalog.report.set_numbers import numbers_of

SIDE, STEP = 100.0, 120.0
COLOURS = ((180, 40, 40), (40, 60, 170), (200, 180, 60), (60, 140, 70))


def bundle(columns=4, rows=1, ground=128, **square):
    """A photo of flat squares in rows, and its swatches."""
    pixels = np.full((int(STEP * rows) + 20, int(STEP * columns) + 20, 3), ground, np.uint8)
    swatches = []
    for row in range(rows):
        for col in range(columns):
            x, y = 20 + STEP * col, 20 + STEP * row
            colour = COLOURS[(row * columns + col) % len(COLOURS)]
            pixels[int(y) : int(y + SIDE), int(x) : int(x + SIDE)] = colour
            corners = ((x, y), (x + SIDE, y), (x + SIDE, y + SIDE), (x, y + SIDE))
            given = {"confidence": 1.0, **square}
            swatches.append(
                Swatch(
                    label=f"R{row + 1}C{col + 1}",
                    photo="a.jpg",
                    square=Square(corners, row + 1, col + 1, 5.0, 5.0, **given),
                    lab=(50.0, 0.0, 0.0),
                    print_kind="plain",
                    busyness=0.0,
                )
            )
    return Photo("a.jpg", pixels), swatches


def found_picture(photo, swatches, sets, **size):
    """What was found, on the photo made smaller."""
    return draw_found(shrunk_squares(photo, swatches, **size), sets)


def a_set(number, *labels):
    return SquareSet(number, labels, 1.0, 1.0, "", False)


def changed(one, two):
    return (one != two).any(axis=2)


def cell(picture, col):
    left = int(20 + STEP * col)
    return picture[20 : 20 + int(SIDE), left : left + int(SIDE)]


def test_nothing_found_leaves_the_photo_as_it_is():
    photo, _ = bundle()
    before = photo.pixels.copy()
    picture = found_picture(photo, [], [])
    np.testing.assert_array_equal(picture, before)
    assert picture is not photo.pixels


def test_the_photo_itself_is_not_drawn_on():
    photo, swatches = bundle()
    before = photo.pixels.copy()
    found_picture(photo, swatches, [a_set(1, "R1C1", "R1C2")])
    np.testing.assert_array_equal(photo.pixels, before)


@pytest.mark.parametrize("ground", [0, 128, 255])
def test_outlines_show_on_any_ground(ground):
    photo, swatches = bundle(ground=ground)
    rim = cell(found_picture(photo, swatches, []), 0)[-8:, 20:80].reshape(-1, 3)
    assert (rim.max(axis=1) < 60).any()
    assert (rim.min(axis=1) > 195).any()


def test_outlines_stay_inside_their_squares():
    photo, swatches = bundle()
    picture = found_picture(photo, swatches, [])
    outside = np.ones(picture.shape[:2], bool)
    for col in range(4):
        cell(outside, col)[:] = False
    assert not changed(picture, photo.pixels)[outside].any()


def test_doubtful_squares_are_dashed_and_marked():
    photo, swatches = bundle()
    sure = found_picture(photo, swatches, [])
    for doubt in ({"confidence": 0.4}, {"flags": ("odd size",)}):
        _, doubtful = bundle(**doubt)
        picture = found_picture(photo, doubtful, [])
        bottom = [(cell(p, 0)[-6:].min(axis=2) > 195).any(axis=0) for p in (sure, picture)]
        gaps = [int((np.diff(line.astype(int)) == -1).sum()) for line in bottom]
        assert gaps[1] >= 3 > gaps[0]
        assert changed(cell(picture, 0)[:25], cell(sure, 0)[:25]).any()


def test_each_square_of_a_set_shows_its_partner_s_cloth():
    photo, swatches = bundle()
    picture = found_picture(photo, swatches, [a_set(7, "R1C1", "R1C3")])
    np.testing.assert_array_equal(cell(picture, 0)[78, 78], COLOURS[2])
    np.testing.assert_array_equal(cell(picture, 2)[78, 78], COLOURS[0])
    np.testing.assert_array_equal(cell(picture, 1)[78, 78], COLOURS[1])


def test_three_and_four_show_all_their_partners():
    photo, swatches = bundle()
    four = found_picture(photo, swatches, [a_set(1, "R1C1", "R1C2", "R1C3", "R1C4")])
    shown = {tuple(map(int, cell(four, 0)[82, x])) for x in (82, 53, 24)}
    assert shown == set(COLOURS[1:])


def test_a_bar_shows_the_colours_of_a_square_each_as_wide_as_its_share():
    photo, swatches = bundle()
    palette = (
        PaletteColour((30.0, 0.0, 0.0), 0.7),
        PaletteColour((90.0, 0.0, 0.0), 0.3, ground=True),
    )
    picture = found_picture(photo, [replace(swatches[0], palette=palette), *swatches[1:]], [])
    bar = cell(picture, 0)[26, 10:66].astype(int)
    ground, figure = (lab_to_srgb8(one.lab)[0] for one in palette[::-1])
    assert np.abs(bar[2:13] - ground).max() <= 2
    assert np.abs(bar[20:] - figure).max() <= 2
    mean = lab_to_srgb8(swatches[1].lab)  # a square that was kept without a palette
    assert np.abs(cell(picture, 1)[26, 10:66].astype(int) - mean).max() <= 2


def test_the_darkest_bears_a_black_badge_and_the_others_white_ones():
    photo, swatches = bundle()
    picture = found_picture(photo, swatches, [a_set(1, "R1C3", "R1C1")])
    # Left of the numeral, inside the badge.
    assert cell(picture, 2)[50, 41].max() < 60
    assert cell(picture, 0)[50, 41].min() > 195


def test_the_numbers_differ():
    photo, swatches = bundle()
    one = found_picture(photo, swatches, [a_set(1, "R1C1", "R1C2")])
    two = found_picture(photo, swatches, [a_set(28, "R1C1", "R1C2")])
    assert changed(cell(one, 0)[36:64, 36:64], cell(two, 0)[36:64, 36:64]).any()


def test_lines_join_a_set_and_only_neighbours_where_sets_are_many():
    photo, swatches = bundle(columns=6, rows=6)
    labels = [swatch.label for swatch in swatches]
    near, far = ("R1C1", "R1C2"), ("R6C1", "R6C4")
    others = [label for label in labels if label not in (*near, *far)]
    few = [a_set(1, *near), a_set(2, *far)]
    many = [*few, *(a_set(3 + i, *others[2 * i : 2 * i + 2]) for i in range(MAX_SETS_JOINED))]

    def between(picture, one, row):
        """The gap to the right of a square, level with the badges."""
        x, y = int(20 + STEP * one + SIDE) + 2, int(20 + STEP * row + SIDE / 2)
        return changed(picture[y - 3 : y + 4, x : x + 16], photo.pixels[:7, :16]).any()

    with_few = found_picture(photo, swatches, few)
    with_many = found_picture(photo, swatches, many)
    assert between(with_few, 0, 0)
    assert between(with_few, 1, 5)
    assert between(with_many, 0, 0)
    assert not between(with_many, 1, 5)


def test_a_partner_on_another_photo_is_known_by_its_number_alone():
    photo, swatches = bundle()
    alone = found_picture(photo, swatches[:1], [a_set(3, "R1C1", "S999")])
    assert cell(alone, 0)[50, 41].max() < 60
    np.testing.assert_array_equal(cell(alone, 0)[78, 78], COLOURS[0])


def test_a_set_that_does_not_count_bears_its_number_in_brackets_and_nothing_else():
    photo, swatches = bundle()
    loose = replace(a_set(1, "R1C1", "R1C2"), flags=(NOT_COUNTED,))
    assert numbers_of([loose, a_set(2, "R1C2", "R1C3")]) == {
        "R1C1": "(1)", "R1C2": "2(1)", "R1C3": "2",
    }  # fmt: skip
    with_one, without = (found_picture(photo, swatches, sets) for sets in ([loose], []))
    counting = found_picture(photo, swatches, [a_set(1, "R1C1", "R1C2")])
    badge = np.s_[30:70, 30:70]
    assert changed(cell(with_one, 0)[badge], cell(counting, 0)[badge]).any()
    outside = changed(with_one, without)
    outside[20 + 35 : 20 + 66] = False
    assert not outside.any()
    assert not changed(with_one[60:80, 122:138], photo.pixels[:20, :16]).any()


@pytest.mark.parametrize(
    ("high", "wide", "drawn"),
    [
        (3024, 4032, (1512, 2016)),
        (3468, 4624, (1500, 2000)),
        (3000, 2250, (2000, 1500)),
        (2090, 1568, (2090, 1568)),
        (600, 800, (600, 800)),
    ],
)
def test_a_photo_is_halved_where_that_comes_near_the_size_asked_for(high, wide, drawn):
    picture, scale = shrunk(np.zeros((high, wide, 3), np.uint8))
    assert picture.shape == (*drawn, 3)
    assert scale == pytest.approx(drawn[0] / high)


def test_large_photos_are_made_smaller_and_small_ones_stay():
    pixels = np.full((3000, 4000, 3), 90, np.uint8)
    corners = ((400.0, 400.0), (1400.0, 400.0), (1400.0, 1400.0), (400.0, 1400.0))
    swatch = Swatch("S001", "b", Square(corners, None, None, 5, 5, 1.0), (40, 0, 0), "plain", 0)
    picture = found_picture(Photo("b", pixels), [swatch], [])
    assert picture.shape == (1500, LONG_SIDE, 3)
    touched = np.argwhere(changed(picture, np.full_like(picture, 90)))
    assert touched.min() == pytest.approx(200, abs=10)
    assert touched.max() == pytest.approx(700, abs=10)
    full = found_picture(Photo("b", pixels), [swatch], [], full=True)
    assert full.shape == pixels.shape
    assert np.argwhere(changed(full, pixels)).max() == pytest.approx(1400, abs=20)
    small, _ = bundle()
    assert found_picture(small, [], []).shape == small.pixels.shape


def test_squares_at_and_over_the_frame_s_edge():
    photo, swatches = bundle()
    corners = ((-40.0, -30.0), (60.0, -30.0), (60.0, 70.0), (-40.0, 70.0))
    far = ((900.0, 900.0), (1000.0, 900.0), (1000.0, 1000.0), (900.0, 1000.0))
    edge = [
        Swatch(name, "a.jpg", Square(where, None, None, 5, 5, 1.0), (40, 0, 0), "plain", 0)
        for name, where in (("S001", corners), ("S002", far))
    ]
    picture = found_picture(photo, [*swatches, *edge], [a_set(1, "S001", "S002", "R1C4")])
    assert picture.shape == photo.pixels.shape


def test_labels_in_other_scripts_do_not_stop_it():
    photo, swatches = bundle()
    odd = Swatch("Ä1", "a.jpg", swatches[0].square, (40, 0, 0), "plain", 0)
    assert changed(found_picture(photo, [odd], []), photo.pixels).any()
