"""The ground between squares that are set apart is square too, and no cloth."""

import numpy as np
import pytest
from test_finding_boundary import filled
from test_finding_covered import rows, straight_down

from catalog.finding.ground_cells import are_ground_cells

GROUND = (210.0, 200.0, 185.0)
CLOTH = np.arange(20) % 5 % 2 == np.arange(20) // 5 % 2
"""Every other of four rows of five."""


def cells(cloth, seen, shades=None):
    """Which of twenty squares side by side are told to be ground, where some are of cloth."""
    plane, corners = straight_down(), 0.9 * rows(1.0)
    rng = np.random.default_rng(1)
    colours = np.where(cloth[:, None], rng.uniform(20, 150, (20, 3)), GROUND)
    if shades is not None:
        colours = np.where(cloth[:, None], colours, shades)
    picture = filled(plane, corners, colours, GROUND)
    return are_ground_cells(picture, plane.to_photo(corners), corners, seen, np.ones(20))


def clear(cloth, bare):
    """Sides of cloth are seen, and those that others share with it; bare ones as told."""
    seen = np.full((20, 4), bare)
    seen[cloth] = 1.0
    return seen


def test_the_ground_between_squares_that_touch_at_their_corners_is_no_square():
    assert np.array_equal(cells(CLOTH, clear(CLOTH, 0.1)), ~CLOTH)


def test_squares_like_the_ground_whose_sides_show_are_cloth():
    assert not cells(CLOTH, clear(CLOTH, 1.0)).any()


def test_squares_like_the_ground_among_others_are_cloth():
    some = np.ones(20, bool)
    some[[2, 6, 7, 11, 18]] = False
    assert not cells(some, clear(some, 0.1)).any()


@pytest.mark.parametrize("shade", [(240.0, 150.0, 150.0), (60.0, 90.0, 60.0)])
def test_squares_of_another_colour_than_the_ground_are_cloth(shade):
    assert not cells(CLOTH, clear(CLOTH, 0.1), shade).any()
