"""How far a colour may be off grows with what is in doubt."""

from dataclasses import replace

import numpy as np
import pytest

from catalog.measuring.colour_uncertainty import covering
from catalog.models import Light

LIGHT = Light(np.ones(3), np.ones((2, 2, 3), np.float32), "", 1.0, 2.0, level_doubt=0.05)
EVEN = np.ones((5, 5, 3))
COLOUR = (60.0, 20.0, -10.0)
USUAL = {"spread": 3.0, "shown": 1.0, "clipped": 0.0}


def told(colour=COLOUR, light=LIGHT, around=EVEN, **other):
    parts = {name: np.array([value]) for name, value in {**USUAL, **other}.items()}
    whole, own = covering(np.array([colour]), light, around[None], **parts)
    return whole[0], own[0]


def test_the_whole_is_more_than_the_squares_own():
    whole, own = told()
    assert whole > own > 0


@pytest.mark.parametrize(
    "worse",
    [
        {"light": replace(LIGHT, level_doubt=0.14)},
        {"light": replace(LIGHT, tint_doubt=0.3)},
        {"around": EVEN * 0.4},
        {"around": np.where(np.arange(5)[:, None, None] > 2, 0.3, 1.0) * EVEN},
        {"spread": 30.0},
        {"shown": 0.3},
        {"clipped": 0.5},
    ],
)
def test_each_doubt_adds(worse):
    assert told(**worse)[0] > told()[0]


def test_what_a_photo_shares_is_not_the_squares_own():
    assert told(light=replace(LIGHT, level_doubt=0.3))[1] == told()[1]
