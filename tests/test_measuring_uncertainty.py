"""How far a colour may be off grows with what is in doubt."""

from dataclasses import replace

import numpy as np
import pytest

from catalog.measuring.colour_uncertainty import ColourEvidence, covering, light_over
from catalog.models import Light, Square, Swatch

LIGHT = Light(np.ones(3), np.ones((2, 2, 3), np.float32), "", 1.0, 2.0, level_doubt=0.05)
EVEN = np.ones((5, 5, 3))
COLOUR = (60.0, 20.0, -10.0)
USUAL = {"spread": 3.0, "shown": 1.0, "clipped": 0.0, "as_print": 0.0}
SQUARE = Square(((0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0)), None, None, 5.0, 5.0, 1.0)
STRUCTURE = 3 * 7


def swatch(colour=COLOUR, contrast=5.0):
    """Make a square of a print; of the same print where the contrast is the same."""
    quantiles = np.tile(np.linspace(-contrast, contrast, 16), (13, 1))
    signature = np.concatenate([quantiles.ravel(), np.full(STRUCTURE, contrast)])
    return Swatch("S", "a", SQUARE, colour, "busy", 3.0, signature=signature.astype(np.float32))


ONE = (swatch(),)


def told(swatches=ONE, light=LIGHT, around=EVEN, **other):
    parts = {name: np.full(len(swatches), value) for name, value in {**USUAL, **other}.items()}
    lights = light_over(np.array([around] * len(swatches), np.float32))
    whole, own = covering(swatches, ColourEvidence(lights, **parts), light)
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
        {"clipped": 0.1},
        {"clipped": 0.5},
        {"as_print": 17.0},
    ],
)
def test_each_doubt_adds(worse):
    assert told(**worse)[0] > told()[0]


def test_what_a_photo_shares_is_not_the_squares_own():
    assert told(light=replace(LIGHT, level_doubt=0.3))[1] == told()[1]


TWINS = (5.0,) * 6
STRANGERS = (3.0, 6.0, 12.0, 24.0, 48.0, 96.0)


def photo_of(step, contrasts):
    """Give a photo's squares; each differs from the one before by a step of lightness."""
    return tuple(swatch((55.0 + step * n, 20.0, -10.0), c) for n, c in enumerate(contrasts))


def test_repeats_that_scatter_widen_what_may_be_off_and_those_that_agree_narrow_it():
    unknown = told(photo_of(3.0, STRANGERS))
    assert told(photo_of(3.0, TWINS))[1] > 1.3 * unknown[1]
    assert told(photo_of(0.1, TWINS))[1] < 0.9 * unknown[1]
    assert told(photo_of(0.1, STRANGERS))[1] == pytest.approx(unknown[1], rel=0.05)


def test_repeats_say_nothing_of_what_all_squares_share():
    whole, own = told(photo_of(0.1, TWINS))
    other, alone = told(photo_of(0.1, STRANGERS))
    assert whole**2 - own**2 == pytest.approx(other**2 - alone**2)


def test_a_photo_without_squares_has_no_doubts():
    nothing = ColourEvidence(np.zeros((0, 2)), *np.zeros((4, 0)))
    assert [len(one) for one in covering((), nothing, LIGHT)] == [0, 0]
