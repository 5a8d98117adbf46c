"""Squares of another size are told by their own sides, in drawn pictures."""

import numpy as np
import pytest
from test_finding_boundary import drawn, supposed
from test_finding_covered import refined, rows, straight_down

from catalog.finding.edges.boundary_network import boundary_profiles
from catalog.finding.edges.corner_refinement import refine_to_boundary
from catalog.finding.edges.own_size import OwnSizes, own_sizes
from catalog.finding.edges.side_lines import sizes
from catalog.finding.surface_colour import surface_likelihood

OTHER = {3: 0.975, 8: 1.025, 12: 0.95}
"""Which of twenty squares are of another size, and which."""


def of_sizes(corners, other):
    """The squares about their middles, some of another size."""
    size = np.ones(len(corners))
    size[list(other)] = list(other.values())
    middle = corners.mean(axis=1, keepdims=True)
    return middle + size[:, None, None] * (corners - middle), size


@pytest.fixture(scope="module")
def laid():
    """Plane, the squares supposed of one size, their true corners and sizes, and the picture."""
    plane, usual = straight_down(), rows(1.06)
    corners, size = of_sizes(usual, OTHER)
    return plane, usual, corners, size, drawn(plane, corners)


def test_an_eighth_of_an_inch_in_five_is_told(laid):
    plane, usual, corners, size, picture = laid
    ground = surface_likelihood(picture, plane.to_photo(corners))
    own = own_sizes(boundary_profiles([picture], plane, usual, ground), usual)
    assert np.flatnonzero(own.odd(5.0)).tolist() == sorted(OTHER)
    assert np.abs(own.size / own.usual - size).max() < 0.008
    # what is a tenth of an inch less of small squares is no more than their error
    assert not own.odd(0.8).any()


def test_a_square_of_another_size_keeps_it(laid):
    plane, usual, corners, size, picture = laid
    ground = surface_likelihood(picture, plane.to_photo(corners))
    at, _ = refine_to_boundary([picture], supposed(plane, usual), ground, 5.0)
    assert np.flatnonzero(at.usual != 1).tolist() == sorted(OTHER)
    assert np.abs(np.mean(sizes(at.corners), axis=0) - size).max() < 0.006


@pytest.mark.parametrize(("size", "corner"), [(0.9, (-1, -1)), (0.9, (1, 1)), (1.1, (0, 0))])
def test_a_square_far_from_the_usual_size_is_looked_for_at_its_own(size, corner):
    """In a corner of its place two of its sides lie beyond every look at a square of usual size."""
    plane, corners = straight_down(), rows(1.14)
    corners, true = of_sizes(corners * 1.06, {7: size})
    corners[7] += (1 - true[7]) / 2 * np.array(corner)
    result, error = refined(drawn(plane, corners), plane, corners)
    assert np.flatnonzero(result.usual != 1).tolist() == [7]
    assert result.usual[7] == pytest.approx(size, abs=0.03)
    assert error[7].max() < 0.025


def test_what_is_seen_one_way_only_must_be_surer():
    own = OwnSizes(
        size=np.array([1.0, 1.0, 1.0, 0.97, 0.97]),
        usual=np.ones(5),
        lead=np.array([0.0, 0.0, 0.0, 0.5, 0.5]),
        ways=np.array([2, 2, 2, 2, 1]),
    )
    assert own.odd(5.0).tolist() == [False, False, False, True, False]


def test_hidden_sides_tell_no_size():
    plane, usual = straight_down(), rows(1.06)
    picture = drawn(plane, usual)
    ground = surface_likelihood(picture, plane.to_photo(usual))
    evidence = boundary_profiles([picture], plane, usual, ground)
    shown = np.ones(evidence.shown.shape, bool)
    shown[5, 2] = shown[9, 1] = shown[9, 2] = False
    own = own_sizes(evidence.only(shown), usual)
    assert own.ways[[4, 5, 9]].tolist() == [2, 1, 0]
    assert own.lead[9] == 0
    assert not own.odd(5.0).any()


def test_a_size_that_was_tried_is_given_up_where_no_end_of_cloth_bears_it_out():
    plane, usual = straight_down(), rows(1.06)
    picture = drawn(plane, usual)
    ground = surface_likelihood(picture, plane.to_photo(usual))
    evidence = boundary_profiles([picture], plane, usual, ground)
    tried = np.full(len(usual), 1.04)
    own = own_sizes(evidence.only(np.zeros(evidence.shown.shape, bool)), usual, tried)
    assert not own.odd(5.0, tried).any()
