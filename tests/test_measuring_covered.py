"""What lies on a square is left out of its colour; a print's own motifs are not."""

import numpy as np
import pytest

from catalog.measuring.foreign_objects import is_shade, uncovered

SIDE = 64
SHOWN = np.ones((1, SIDE, SIDE), np.float32)


def cloth(spread=1.0):
    rng = np.random.default_rng(1)
    return np.array([60.0, 10.0, -20.0]) + rng.normal(0, spread, (1, SIDE, SIDE, 3))


def test_bare_cloth_is_left_as_it_is():
    assert uncovered(cloth(), SHOWN) is SHOWN


def test_a_thing_that_reaches_in_is_left_out():
    colours = cloth()
    colours[0, :20, 40:] = (30.0, 60.0, 30.0)
    left = uncovered(colours, SHOWN)
    assert not left[0, :20, 40:].any()
    assert left[0, 30:].all()


def test_motifs_of_a_print_stay():
    colours = cloth()
    for y in range(4, SIDE, 16):
        for x in range(0, SIDE, 16):
            colours[0, y : y + 5, x : x + 5] = (90.0, 0.0, 0.0)
    assert uncovered(colours, SHOWN) is SHOWN


def test_a_motif_in_the_middle_stays():
    colours = cloth()
    colours[0, 20:40, 20:40] = (90.0, 0.0, 0.0)
    assert uncovered(colours, SHOWN) is SHOWN


@pytest.mark.parametrize("spread", [12.0, 25.0])
def test_busy_prints_are_not_judged(spread):
    colours = cloth(spread)
    colours[0, :20, 40:] = (30.0, 60.0, 30.0)
    assert uncovered(colours, SHOWN) is SHOWN


def test_half_a_square_is_no_thing():
    colours = cloth()
    colours[0, :30] = (90.0, 0.0, 0.0)
    assert uncovered(colours, SHOWN) is SHOWN


def test_each_square_is_judged_for_itself():
    two = np.concatenate([cloth(), cloth()])
    two[1, :20, 40:] = (30.0, 60.0, 30.0)
    left = uncovered(two, np.ones((2, SIDE, SIDE), np.float32))
    assert left[0].all()
    assert not left[1, :20, 40:].any()


def test_what_a_neighbour_hides_is_not_judged():
    colours = cloth()
    colours[0, :, 40:] = (30.0, 60.0, 30.0)
    shown = SHOWN.copy()
    shown[0, :, 40:] = 0.0
    assert uncovered(colours, shown) is shown


@pytest.mark.parametrize(
    ("thing", "shade"),
    [
        ((47.0, 8.0, -16.0), True),  # the cloth in a shadow
        ((75.0, 12.0, -24.0), True),  # and in a glare
        ((30.0, 60.0, 30.0), False),  # scissors' red handles
    ],
)
def test_a_shade_of_the_cloth_is_no_thing_that_lies_on_it(thing, shade):
    colours = cloth()
    colours[0, :20, 40:] = thing
    left = uncovered(colours, SHOWN)
    assert not left.all()
    assert is_shade(colours[0], SHOWN[0], left[0]) is shade


def test_what_varies_is_no_shade():
    colours = cloth()
    colours[0, :20, 40:, 0] = np.linspace(5, 47, 24)
    left = uncovered(colours, SHOWN)
    assert not is_shade(colours[0], SHOWN[0], left[0])


def test_nothing_left_out_is_no_shade():
    assert not is_shade(cloth()[0], SHOWN[0], SHOWN[0])
