"""Under a strong tilt the photo is looked at once more, laid flat."""

import sys
from pathlib import Path

import numpy as np
import pytest

from catalog.finding import find_squares, seen_from_above
from catalog.finding.detector import Detections
from catalog.finding.seen_from_above import detect_from_above, is_strongly_tilted
from catalog.finding.shared_plane import tilted_plane
from catalog.image_pyramid import image_pyramid
from catalog.models import Photo

sys.path.append(str(Path(__file__).parent / "bench"))
from accuracy import MET, assign
from scenes import draw

STEEP = (38.0, 48.0)


@pytest.mark.parametrize("degrees", [0.0, 20.0, 45.0])
def test_a_plane_tells_its_tilt(degrees):
    plane = tilted_plane(np.array([0.0, np.tan(np.radians(degrees)) / 1.3]), (1200, 1600))
    assert np.degrees(plane.tilt()) == pytest.approx(degrees)
    assert is_strongly_tilted(plane) == (degrees > 36.0)


@pytest.mark.parametrize("seed", [4036, 4042])
def test_squares_that_are_missed_from_aside_are_found_from_above(seed, monkeypatch):
    scene = draw(seed, STEEP)

    def met():
        found = find_squares(Photo("steep", scene.picture), 5.0)
        told = np.array([square.corners for square in found.squares])
        return sum(share >= MET for *_, share in assign(told, scene.corners)), len(told)

    assert met() == (len(scene.corners), len(scene.corners))
    monkeypatch.setattr(seen_from_above, "STRONG_TILT", np.pi)
    assert met()[0] < len(scene.corners)


def test_checks_of_the_table_cloth_are_no_squares_from_above_either():
    scene = draw(4008, STEEP)
    found = find_squares(Photo("checked", scene.picture), 5.0)
    told = np.array([square.corners for square in found.squares])
    assert min(share for *_, share in assign(told, scene.corners)) > 0.5
    assert len(told) == len(scene.corners)


def test_what_was_not_seen_from_aside_is_not_taken_from_above():
    scene = draw(4036, STEEP)
    plane = tilted_plane(np.array([0.0, 0.01]), scene.picture.shape).scaled(0.1)
    some = Detections(scene.corners[:2], np.ones(2))
    seen = detect_from_above(image_pyramid(scene.picture), plane, some)
    assert {j for _, j, _ in assign(seen.quads, scene.corners)} == {0, 1}
