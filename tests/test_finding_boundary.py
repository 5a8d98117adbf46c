"""Where the cloth ends, as the network tells it, in drawn pictures."""

import cv2
import numpy as np
import pytest
from test_finding_covered import HIGH, SIDE, WIDE, rows, straight_down

from catalog.finding.edges import boundary_network
from catalog.finding.edges.boundary_network import (
    ACROSS,
    MAX_LOG_LIKELIHOOD,
    MIN_LIKELIHOOD,
    SEGMENTS,
    boundary_profiles,
)
from catalog.finding.edges.corner_refinement import BOUNDARY_PRIOR, Refined, refine_to_boundary
from catalog.finding.edges.side_lines import robust_squares, sizes
from catalog.finding.shared_plane import Poses
from catalog.finding.surface_colour import surface_likelihood

FINER = 4
"""Pictures are drawn so many times as fine: OpenCV's own smooth outlines lie half a pixel off."""


def filled(plane, outlines, colours, ground):
    picture = np.full((HIGH * FINER, WIDE * FINER, 3), ground, np.uint8)
    for outline, colour in zip(outlines, colours, strict=True):
        points = np.round(plane.to_photo(outline) * FINER - 0.5).astype(np.int32)
        cv2.fillPoly(picture, [points], [float(c) for c in colour])
    return cv2.resize(picture, (WIDE, HIGH), interpolation=cv2.INTER_AREA)


def drawn(plane, outlines, seed=4):
    """The outlines filled one after the other, each with its own colour."""
    rng = np.random.default_rng(seed)
    shades = rng.uniform(20, 160, (len(outlines), 3))
    shades[np.arange(len(outlines)), np.arange(len(outlines)) % 3] = 15
    picture = filled(plane, outlines, shades, (210, 200, 185))
    noisy = cv2.GaussianBlur(picture, (0, 0), 0.8) + rng.normal(0, 2, picture.shape)
    return np.clip(noisy, 0, 255).astype(np.uint8)


def pinked(square, teeth, depth):
    """The outline of a square whose sides are rows of teeth, their tips on its sides."""
    points = []
    for k in range(4):
        a, b = square[k], square[(k + 1) % 4]
        inward = np.array([-(b - a)[1], (b - a)[0]])
        for i in range(teeth):
            points += [a + (b - a) * i / teeth, a + (b - a) * (i + 0.5) / teeth + depth * inward]
    return np.array(points)


def supposed(plane, corners, far=0.0):
    """Squares with all their sides so far inside of where they are."""
    middle = corners.mean(axis=1, keepdims=True)
    n = len(corners)
    return Refined(
        plane,
        middle + (1 - 2 * far) * (corners - middle),
        np.ones((n, 4)),
        np.ones((n, 4)),
        None,
        np.ones(n),
        np.ones(n),
    )


def told(picture, plane, corners, far=0.0):
    """How far the sides told lie inside of the true ones on average, (n, 4) in sides."""
    ground = surface_likelihood(picture, plane.to_photo(corners))
    at, _ = refine_to_boundary([picture], supposed(plane, corners, far), ground, 5.0)
    side = np.roll(corners, -1, axis=1) - corners
    inward = np.stack([-side[..., 1], side[..., 0]], axis=-1)
    middle = at.corners + np.roll(at.corners, -1, axis=1)
    return ((middle - corners - np.roll(corners, -1, axis=1)) / 2 * inward).sum(axis=-1)


@pytest.mark.parametrize("far", [-0.03, 0.0, 0.03])
def test_sides_supposed_wrong_come_to_where_the_cloth_ends(far):
    plane, corners = straight_down(), rows(1.06)
    off = told(drawn(plane, corners), plane, corners, far)
    assert np.abs(off).max() < 0.004


@pytest.mark.parametrize("teeth", [20, 32])
def test_sides_run_along_the_tips_of_the_teeth(teeth):
    plane, corners, depth = straight_down(), rows(1.06), 0.5 / teeth
    picture = drawn(plane, [pinked(c, teeth, depth) for c in corners])
    # half the depth is where the middle of the teeth lies, where a step of colour is seen
    off = told(picture, plane, corners, depth / 2)
    assert abs(np.median(off)) < depth / 4


def test_only_some_squares_of_a_bundle_need_be_pinked():
    plane, corners = straight_down(), rows(1.06)
    is_pinked = np.arange(len(corners)) % 2 == 0
    outlines = [pinked(c, 25, 0.02) if p else c for c, p in zip(corners, is_pinked, strict=True)]
    off = told(drawn(plane, outlines), plane, corners, 0.01)  # at the middle of the teeth
    assert abs(np.median(off[is_pinked])) < 0.005
    assert abs(np.median(off[~is_pinked])) < 0.005


def test_a_shadow_beside_cloth_is_no_cloth():
    plane, corners = straight_down(), rows(1.2)
    lit = drawn(plane, corners)
    white, black = [(255.0,) * 3] * len(corners), (0.0,) * 3
    shade = filled(plane, corners + np.array([0.0, 0.03]), white, black) / 255
    cloth = filled(plane, corners, white, black) / 255
    # a darker one is still taken for cloth where the side is supposed out in it
    picture = (lit * (1 - 0.4 * shade * (1 - cloth))).astype(np.uint8)
    off = told(picture, plane, corners, -0.01)
    assert np.abs(np.median(off[:, 2])) < 0.005


@pytest.mark.parametrize("deep", [0.035, 0.05, 0.2])
def test_rows_that_overlap_a_little_keep_their_hidden_sides(deep):
    plane, corners = straight_down(), rows(1 - deep)
    off = told(drawn(plane, corners), plane, corners).reshape(4, 5, 4)
    assert np.abs(off[1:-1, :, [0, 2]]).max() < 0.008


def test_squares_at_the_frame():
    plane, corners = straight_down(), rows(1.06)
    corners = corners + np.array([WIDE / 2 / SIDE - corners[..., 0].max() - 0.02, 0])
    off = told(drawn(plane, corners), plane, corners, 0.01).reshape(4, 5, 4)
    assert np.abs(off[:, -1]).max() < 0.006


def test_a_single_pinked_square():
    plane, corners, depth = straight_down(), rows(1.06)[7:8], 0.02
    picture = drawn(plane, [pinked(c, 25, depth) for c in corners])
    assert np.abs(told(picture, plane, corners, depth / 2)).max() < depth / 4


def test_ends_under_other_cloth_are_told_as_not_to_be_seen():
    plane, corners = straight_down(), rows(0.75)
    picture = drawn(plane, corners)  # each row lies on the one before
    ground = surface_likelihood(picture, plane.to_photo(corners))
    evidence = boundary_profiles([picture], plane, corners, ground)
    most = evidence.votes[:, :, 2:-2].max(axis=3).mean(axis=2).reshape(4, 5, 4)
    assert most[:-1, :, 2].mean() < 0.5 * most[1:, :, 0].mean()


def test_votes_are_logarithms_of_how_likely_each_place_is():
    plane, corners = straight_down(), rows(1.06)
    picture = drawn(plane, corners)
    ground = surface_likelihood(picture, plane.to_photo(corners))
    votes = boundary_profiles([picture], plane, corners, ground).votes
    assert votes.shape == (20, 4, SEGMENTS, ACROSS)
    likely = MIN_LIKELIHOOD * np.expm1(MAX_LOG_LIKELIHOOD * votes)
    assert likely.min() > -1e-6
    assert likely.sum(axis=3).max() < 1 + 1e-4
    assert np.median(likely.sum(axis=3)) > 0.9


def test_many_sides_are_told_as_few_are(monkeypatch):
    plane, corners = straight_down(), rows(1.06)
    picture = drawn(plane, corners)
    ground = surface_likelihood(picture, plane.to_photo(corners))
    at_once = boundary_profiles([picture], plane, corners, ground).votes
    # 20 squares: three parts that don't come out even
    monkeypatch.setattr(boundary_network, "SQUARES_AT_ONCE", 7)
    np.testing.assert_allclose(
        boundary_profiles([picture], plane, corners, ground).votes, at_once, atol=1e-5
    )


# ---------------------------------------------------------------- sizes


def turned(n=5):
    return Poses(
        np.arange(n)[:, None] * [2.0, 0.3], np.full(n, 0.1), np.ones(n), np.zeros(n)
    ).corners()


def test_a_square_seen_amiss_keeps_the_usual_size_and_an_odd_one_its_own():
    corners, nought, seen = turned(), np.zeros((5, 4)), np.ones((5, 4))
    offset = nought.copy()
    offset[1, 0] = 0.015  # one side is read amiss
    offset[2] = 0.05  # a larger square
    told_ = robust_squares(corners, offset, nought, seen, BOUNDARY_PRIOR)
    width, height = sizes(told_)
    assert height[1] == pytest.approx(1.0, abs=0.008)
    assert (width[2], height[2]) == pytest.approx((1.1, 1.1), abs=0.012)
