"""Cards, paper and the user's word as witnesses of white; on pictures made here."""

import numpy as np
import pytest
from test_light import CLOTH, COLS, ROWS, scene

from catalog.colour import lab
from catalog.colour.ciede2000 import ciede2000
from catalog.light import estimate_light
from catalog.measuring import measure
from catalog.models import LightHints, Photo

WARM = np.array([0.8, 0.6, 0.4])
KINDS = [(r * 2 + c) % len(CLOTH) for r in range(ROWS) for c in range(COLS)]
TRUE = lab.linear_to_lab(np.array(CLOTH))[KINDS]
WHITE_SQUARE, RED_SQUARE = "R1C5", "R1C1"
TAN = (0.35, 0.25, 0.16)


def lit(card=None, size=(96, 144), ground=TAN):
    """Squares on a tan table in warm light, a card of this linear colour in the margin."""
    photo, found = scene(ground=ground, inset=8.0)
    linear = lab.srgb_to_linear(photo.pixels).astype(np.float64)
    if card is not None:
        linear[30 : 30 + size[0], 40 : 40 + size[1]] = card
    pixels = np.round(lab.linear_to_srgb(np.clip(linear * WARM, 0, 1)) * 255).astype(np.uint8)
    return Photo("warm.png", pixels), found


def off(photo, found, hints=None):
    """Median CIEDE2000 to the truth, and the light."""
    light = estimate_light(photo, found, hints)
    told = np.array([s.lab for s in measure(photo, found, light)])
    return float(np.median(ciede2000(told, TRUE))), light


@pytest.mark.parametrize(
    ("card", "said"),
    [((0.18,) * 3, "grey card"), ((0.86, 0.86, 0.85), "white card or paper")],
)
def test_a_card_tells_white(card, said):
    photo, found = lit(card)
    error, light = off(photo, found)
    assert said in light.evidence
    assert error < off(*lit())[0]
    assert light.tint[0] / light.tint[2] == pytest.approx(2.0, rel=0.15)


@pytest.mark.parametrize(
    "thing",
    [
        {"card": (0.7, 0.3, 0.25)},  # a red notebook
        {"card": (0.18,) * 3, "size": (20, 30)},  # too small to be a card
        {"card": (0.01, 0.01, 0.012)},  # a black telephone
    ],
)
def test_what_is_no_card_is_no_witness(thing):
    _, light = off(*lit(**thing))
    assert "card" not in light.evidence
    np.testing.assert_allclose(light.tint, off(*lit())[1].tint, rtol=0.02)


def test_tiles_alike_are_no_cards():
    photo, found = lit()
    pixels = photo.pixels.copy()
    for x in range(20, 20 + 5 * 110, 110):
        pixels[20:110, x : x + 100] = np.round(lab.linear_to_srgb(0.2 * WARM) * 255)
    assert "card" not in off(Photo("tiles.png", pixels), found)[1].evidence


def test_a_square_called_white_balances_the_rest():
    photo, found = lit()
    error, light = off(photo, found, LightHints(white=WHITE_SQUARE))
    assert WHITE_SQUARE in light.evidence
    assert error < 3.0
    assert error <= off(photo, found)[0] + 0.05


def test_a_square_called_grey_gives_the_tint_alone():
    photo, found = lit()
    _, light = off(photo, found, LightHints(grey=WHITE_SQUARE))
    assert WHITE_SQUARE in light.evidence
    assert light.tint[0] / light.tint[2] == pytest.approx(2.0, rel=0.15)


def test_the_user_is_believed_before_a_card_that_contradicts():
    photo, found = lit(card=(0.18, 0.17, 0.12))
    _, light = off(photo, found, LightHints(white=RED_SQUARE))
    assert RED_SQUARE in light.evidence
    assert "card" not in light.evidence


@pytest.mark.parametrize("word", ["white", "grey"])
def test_ground_said_to_be_neutral_is_believed(word):
    photo, found = lit(ground=(0.83, 0.83, 0.83) if word == "white" else (0.3, 0.3, 0.3))
    _, light = off(photo, found, LightHints(ground=word))
    assert f"which you call {word}" in light.evidence
    assert light.tint[0] / light.tint[2] == pytest.approx(
        2.0, rel=0.15
    )  # the camera has no tone curve here


@pytest.mark.parametrize("word", ["wood", "mat"])
def test_ground_said_to_be_coloured_is_no_witness_of_white(word):
    photo, found = lit(ground=(0.4, 0.38, 0.36))
    assert "ground" not in off(photo, found, LightHints(ground=word))[1].evidence


def test_surer_evidence_has_smaller_doubts():
    guess, card = off(*lit())[1], off(*lit((0.18,) * 3))[1]
    assert card.level_doubt < guess.level_doubt
    assert card.tint_doubt < guess.tint_doubt
    sure = [s.uncertainty for s in measure(*lit((0.18,) * 3), card)]
    unsure = [s.uncertainty for s in measure(*lit(), guess)]
    assert np.mean(sure) < np.mean(unsure)
