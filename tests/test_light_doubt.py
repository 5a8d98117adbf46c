"""What is told of white where witnesses disagree, cloth is clipped, or the user is asked."""

import numpy as np
import pytest
import test_light
from test_light import scene

from catalog.colour import lab
from catalog.colour.light_changes import moved_between, moved_by
from catalog.light import estimate_light
from catalog.light.camera_balance import AXIS, balance
from catalog.models import LightHints, Photo

DAY = np.array([0.5, 0.5, 0.5])
PALE = (0.7, 0.66, 0.5)
TAN = (0.35, 0.25, 0.16)
COLOURED = [(0.6, 0.1, 0.12), (0.1, 0.45, 0.2), (0.1, 0.2, 0.5), (0.5, 0.4, 0.3), (0.2, 0.3, 0.4)]


def lamplit(along):
    """White so far from daylight to lamplight."""
    red, blue = np.exp(along * AXIS)
    return np.array([red, 1.0, blue])


@pytest.fixture
def no_white(monkeypatch):
    """Squares among which none is white."""
    monkeypatch.setattr(test_light, "CLOTH", COLOURED)


def told(ground=TAN, light=DAY, ground_said=None, **said):
    hints = LightHints(ground=ground_said, **said)
    return estimate_light(*scene(ground=ground, light=lambda *_: light), hints)


def test_by_daylight_the_camera_is_believed():
    found = balance(DAY, None)
    np.testing.assert_allclose(found.tint, 1.0, atol=0.01)
    assert not found.by_lamp
    assert found.doubt == pytest.approx(balance(DAY, False).doubt, abs=0.01)


@pytest.mark.parametrize("along", [0.2, 0.5, 0.9])
def test_said_to_be_by_a_lamp_white_lies_where_the_brightest_do(along):
    brightest = lamplit(along) * 0.4
    yes, no = balance(brightest, True), balance(brightest, False)
    np.testing.assert_allclose(yes.tint / yes.tint[1], lamplit(along), rtol=1e-6)
    np.testing.assert_allclose(no.tint, 1.0)
    unasked = balance(brightest, None)
    assert yes.tint[0] > unasked.tint[0] > no.tint[0]
    assert unasked.doubt > 1.1 * max(yes.doubt, no.doubt)


def test_a_lamp_never_makes_white_blue():
    np.testing.assert_allclose(balance(np.array([0.4, 0.5, 0.8]), True).tint, 1.0)


@pytest.mark.usefixtures("no_white")
def test_a_lamp_is_asked_about_where_it_would_change_colours_and_then_no_more():
    light = lamplit(0.6) * 0.5
    asked = told(light=light)
    assert asked.question == "lamp"
    yes, no = told(light=light, lamp=True), told(light=light, lamp=False)
    assert (yes.question, no.question) == (None, None)
    assert "lamp that you told of" in yes.evidence
    assert yes.tint[0] / yes.tint[2] > 2.0 * no.tint[0] / no.tint[2]
    assert asked.tint_doubt > max(yes.tint_doubt, no.tint_doubt)
    assert asked.expected_error > max(yes.expected_error, no.expected_error)


@pytest.mark.usefixtures("no_white")
def test_by_daylight_nothing_is_asked():
    assert told().question is None


def test_where_white_is_seen_a_lamp_changes_nothing():
    light = lamplit(0.6) * 0.5
    assert told(light=light).question is None
    np.testing.assert_allclose(told(light=light, lamp=True).tint, told(light=light).tint)


@pytest.mark.usefixtures("no_white")
def test_a_pale_ground_brighter_than_all_cloth_is_asked_about():
    asked = told(ground=PALE)
    assert asked.question == "sheet"
    yes, no = told(ground=PALE, ground_said="white"), told(ground=PALE, ground_said="other")
    assert (yes.question, no.question) == (None, None)
    assert yes.tint[2] / yes.tint[0] < 0.9 * no.tint[2] / no.tint[0]
    assert asked.tint_doubt > max(yes.tint_doubt, no.tint_doubt)
    assert asked.expected_error > 1.5 * yes.expected_error


@pytest.mark.usefixtures("no_white")
def test_without_a_lamp_a_tinted_ground_is_no_white_sheet():
    assert "white cloth" not in told(ground=PALE, lamp=False).evidence


def test_clipped_cloth_widens_what_white_may_be_off():
    photo, found = scene(ground=TAN, light=lambda *_: DAY)
    usual = estimate_light(photo, found)
    bright = lab.linear_to_srgb(np.minimum(lab.srgb_to_linear(photo.pixels) * 4.0, 1.0))
    lost = estimate_light(Photo("bright", np.round(bright * 255).astype(np.uint8)), found)
    assert lost.level_doubt > 1.3 * usual.level_doubt
    assert lost.tint_doubt > 1.3 * usual.tint_doubt
    assert lost.expected_error > 1.3 * usual.expected_error


def test_colours_move_as_far_as_the_light_does():
    grey = np.array([[60.0, 0.0, 0.0]])
    step = float(moved_by(grey, 0.05, 0.0)[0])
    assert step == pytest.approx(moved_between(grey, np.full(3, np.exp(0.05)), np.ones(3))[0])
    assert moved_by(grey, 0.1, 0.0)[0] == pytest.approx(2.0 * step, rel=0.05)
    assert moved_by(grey, 0.05, 0.05)[0] > step
