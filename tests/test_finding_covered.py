"""Squares that cover each other, in drawn pictures."""

from dataclasses import replace

import cv2
import numpy as np
import pytest

from catalog.finding.edges.corner_refinement import refine
from catalog.finding.edges.edge_profile import edge_profiles
from catalog.finding.layout.occlusion import without_hidden
from catalog.finding.layout.overlap_hypothesis import (
    flat_explains,
    overlap_hypotheses,
    row_of,
    slipped_back,
    supported_strength,
)
from catalog.finding.layout.predicted_positions import (
    PredictedPositions,
    accepted,
    predict_positions,
    promising,
    uncovered,
)
from catalog.finding.layout.row_alignment import back_in_line, in_rows
from catalog.finding.plane_fitting import fit_plane
from catalog.finding.shared_plane import Plane, Poses, poses_of
from catalog.finding.surface_colour import inner_likelihood, inner_places, surface_likelihood

HIGH, WIDE, SIDE = 1100, 1300, 200


def straight_down(lean=0.0):
    middle, unit = np.array([WIDE / 2, HIGH / 2]), float(np.hypot(WIDE, HIGH) / 2)
    scale = np.diag([unit / SIDE, unit / SIDE, 1.0])
    return Plane(middle, unit, scale @ np.array([[1, 0, 0], [0, 1, 0], [0, lean, 1]]), 0.0)


def rows(down, rows_=4, cols=5):
    y, x = np.mgrid[0:rows_, 0:cols].astype(float).reshape(2, -1)
    places = np.stack([x * 1.06, y * down], axis=-1)
    n = len(places)
    return Poses(places - places.mean(axis=0), np.zeros(n), np.ones(n), np.zeros(n)).corners()


def drawn(plane, outlines, seed=4):
    """The outlines filled one after the other, each with its own colour."""
    rng = np.random.default_rng(seed)
    picture = np.full((HIGH, WIDE, 3), (210, 200, 185), np.uint8)
    for k, outline in enumerate(outlines):
        shade = rng.uniform(20, 160, 3)
        shade[k % 3] = 15
        points = np.round(plane.to_photo(outline) * 16 - 8).astype(np.int32)
        cv2.fillPoly(picture, [points], shade.tolist(), cv2.LINE_AA, 4)
    picture = cv2.GaussianBlur(picture, (0, 0), 0.8) + rng.normal(0, 2, picture.shape)
    return np.clip(picture, 0, 255).astype(np.uint8)


def refined(picture, plane, corners, seed=0, scale=None):
    rng = np.random.default_rng(seed)
    quads = plane.to_photo(corners)
    rough = quads + rng.normal(0, 4, (len(quads), 1, 2)) + rng.normal(0, 2, quads.shape)
    side = 1.0 if scale is None else scale
    start = fit_plane(rough, np.ones((len(rough), 4)), picture.shape, side=side)
    half = cv2.resize(picture, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
    ground = surface_likelihood(half, rough / 2)
    result = refine([picture, half], start, rough, ground, np.ones(len(rough)), scale)
    return result, np.linalg.norm(result.plane.to_photo(result.corners) - quads, axis=-1) / SIDE


@pytest.mark.parametrize("upside_down", [False, True])
def test_hidden_sides_say_nothing(upside_down):
    plane, corners = straight_down(), rows(0.75)
    order = corners[::-1] if upside_down else corners
    picture = drawn(plane, order)
    ground = surface_likelihood(picture, plane.to_photo(corners))
    evidence = edge_profiles([picture], plane, corners, ground, 0.02, 0.005)
    shown = without_hidden(evidence, corners).shown.mean(axis=2).reshape(4, 5, 4)
    covered = shown[1:, :, 0] if upside_down else shown[:-1, :, 2]
    assert covered.max() == 0
    seen_whole = shown[:-1, :, 2] if upside_down else shown[1:, :, 0]
    assert seen_whole.min() == 1


def test_squares_that_are_covered_keep_their_size():
    plane, corners = straight_down(0.2), rows(0.75)
    result, error = refined(drawn(plane, corners), plane, corners)
    assert np.median(error) < 0.012
    assert np.percentile(error, 95) < 0.03
    assert result.shown.reshape(4, 5, 4)[:-1, :, 2].max() < 0.5


# ---------------------------------------------------------------- rows that lie over one another


DOWN, UP = np.full(20, 2), np.full(20, 0)
"""The sides that look at the row on top, of four rows of five."""


@pytest.mark.parametrize("upside_down", [False, True])
@pytest.mark.parametrize("slip", [-0.2, 0.2])
def test_rows_that_slipped_are_put_back_by_the_way_in_which_they_lie(upside_down, slip):
    plane, corners = straight_down(), rows(0.75)
    picture = drawn(plane, corners[::-1] if upside_down else corners)
    ground = surface_likelihood(picture, plane.to_photo(corners))
    inner = slice(5, 15)  # the second and the third row
    slipped = corners.copy()
    slipped[inner, :, 1] += slip
    evidence = edge_profiles([picture], plane, slipped, ground, 0.4, 0.008)
    row = row_of(slipped, UP if upside_down else DOWN)
    back = slipped_back(evidence, slipped, np.ones(len(corners)), row)
    assert np.abs(back - corners).max() < 0.02


@pytest.mark.parametrize("upside_down", [False, True])
def test_lines_tell_which_way_rows_lie(upside_down):
    plane, corners = straight_down(), rows(0.75)
    picture = drawn(plane, corners[::-1] if upside_down else corners)
    ground = surface_likelihood(picture, plane.to_photo(corners))
    evidence = edge_profiles([picture], plane, corners, ground, 0.4, 0.008)
    up, down = (
        supported_strength(evidence, np.ones(len(corners)), row_of(corners, ahead))
        for ahead in (UP, DOWN)
    )
    assert (up > 1.2 * down) if upside_down else (down > 1.2 * up)


def test_a_row_passed_over_does_not_draw_the_next_one_along():
    # the last row is laid but nobody knows of it: the row before shows no side ahead
    plane, corners = straight_down(), rows(0.75)
    picture = drawn(plane, corners)
    ground = surface_likelihood(picture, plane.to_photo(corners))
    known = corners[:15]
    evidence = edge_profiles([picture], plane, known, ground, 0.4, 0.008)
    back = slipped_back(evidence, known, np.ones(15), row_of(known, DOWN[:15]))
    assert np.abs(back - known).max() < 0.05


def test_rows_with_gaps_do_not_lie_over_one_another():
    assert row_of(rows(1.05), DOWN) is None
    assert row_of(rows(0.8), DOWN).ahead.tolist() == [*range(5, 20), *[-1] * 5]
    assert row_of(rows(0.8), UP).ahead.tolist() == [*[-1] * 5, *range(15)]


def guessed_short(plane, corners, by):
    """Quadrilaterals, px, of rows laid downwards whose hidden sides are guessed short."""
    quads = corners.copy()
    quads[:15, 2:, 1] -= by
    return plane.to_photo(quads)


def test_hidden_sides_guessed_short_do_not_bend_the_plane():
    plane, corners = straight_down(0.25), rows(0.75)
    quads = guessed_short(plane, corners, 0.12)
    every = fit_plane(quads, np.ones((20, 4)), (HIGH, WIDE))
    read = {r.ahead[0]: r for r in overlap_hypotheses(every, quads, np.ones(20), (HIGH, WIDE))}
    assert set(read) == {0, 2}

    def off(plane):
        return np.median(
            poses_of(plane.to_plane(guessed_short(straight_down(0.25), corners, 0))).misfit
        )

    assert off(every) > 0.02
    assert off(read[2].plane) < 0.005
    assert np.array_equal(read[2].hidden, np.arange(20)[:, None] < [0, 0, 15, 0])


def test_squares_that_lie_beside_each_other_are_not_read_as_laid_over():
    plane, corners = straight_down(0.25), rows(1.0)
    quads = plane.to_photo(corners)
    start = fit_plane(quads, np.ones((20, 4)), (HIGH, WIDE))
    assert overlap_hypotheses(start, quads, np.ones(20), (HIGH, WIDE)) == []


def test_every_square_comes_onto_the_line_of_its_row():
    rng = np.random.default_rng(0)
    moved = rows(0.8) + rng.normal(0, 0.02, (20, 1, 2))
    was = moved.mean(axis=1).reshape(4, 5, 2)
    back = in_rows(moved, np.array([0.0, -1.0])).mean(axis=1).reshape(4, 5, 2)
    slope = np.diff(back[..., 1], axis=1) / np.diff(back[..., 0], axis=1)
    assert np.ptp(slope, axis=1).max() < 1e-9
    assert np.allclose(back[..., 0], was[..., 0])


@pytest.mark.parametrize("way", [(0.0, 0.15), (-0.12, 0.0), (0.1, 0.1)])
@pytest.mark.parametrize("down", [0.8, 1.05])
def test_squares_out_of_line_are_brought_back(down, way):
    rng = np.random.default_rng(0)
    corners = rows(down) + rng.normal(0, 0.01, (20, 1, 2))
    moved = corners.copy()
    moved[7] += way
    back, strays = back_in_line(moved)
    assert np.flatnonzero(strays).tolist() == [7]
    assert np.abs(back[7] - corners[7]).max() < 0.05
    assert np.array_equal(np.delete(back, 7, axis=0), np.delete(moved, 7, axis=0))


def staggered(by):
    corners = rows(1.05)
    corners.reshape(4, 5, 4, 2)[1::2, ..., 0] += by
    return corners


@pytest.mark.parametrize("by", [0.2, 0.3, 0.5])
def test_staggered_rows_have_no_columns_to_be_brought_back_to(by):
    rng = np.random.default_rng(1)
    corners = staggered(by) + rng.normal(0, 0.01, (20, 1, 2))
    assert not back_in_line(corners)[1].any()


def test_loose_squares_stay_where_they_are():
    corners = rows(1.3) + np.random.default_rng(2).normal(0, 0.06, (20, 1, 2))
    assert not back_in_line(corners)[1].any()


def test_where_most_sides_are_hidden_all_that_look_that_way_are():
    plane, corners = straight_down(), rows(0.75)
    picture = drawn(plane, corners)
    ground = surface_likelihood(picture, plane.to_photo(corners))
    short = corners.copy()
    short[2, 2:, 1] -= 0.25  # ends where the next row begins, as if it were a lower square
    evidence = edge_profiles([picture], plane, short, ground, 0.02, 0.005)
    assert without_hidden(evidence, short).shown[2, 2].sum() == 0


def test_a_place_between_rows_that_overlap_is_free():
    free = predict_positions(poses_of(np.delete(rows(0.66), 7, axis=0)))
    gap = np.abs(free.corners.mean(axis=1) - rows(0.66)[7].mean(axis=0)).max(axis=1)
    assert gap.min() < 0.05
    assert free.agreed[gap.argmin()]


def test_a_whole_row_passed_over_is_foretold_by_one_neighbour_each():
    free = predict_positions(poses_of(rows(1.06)[:15]))
    last = rows(1.06)[15:].mean(axis=1)
    gap = np.abs(free.corners.mean(axis=1)[:, None] - last).max(axis=2)
    assert gap.min(axis=0).max() < 0.01
    assert not free.agreed[gap.argmin(axis=0)].any()


def test_what_one_neighbour_foretells_must_be_cloth_and_show_its_sides():
    seen, shown = np.array([[1.0] * 4, [1.0] * 4, [0.1] * 4, [1.0] * 4]), np.ones((4, 4))
    like = np.array([-0.6, 0.0, -0.6, 0.9])
    one, two = np.zeros(4, bool), np.ones(4, bool)
    assert (accepted(like, seen, shown, one) > 0).tolist() == [True, False, False, False]
    assert (accepted(like, seen, shown, two) > 0).tolist() == [True, True, True, False]
    alone, agreed = (PredictedPositions(np.zeros((4, 4, 2)), many) for many in (one, two))
    assert promising(like, alone).tolist() == [True, False, True, False]
    assert promising(like, agreed).tolist() == [True, True, True, False]


def test_corners_stand_up_away_from_the_camera():
    middle, unit = np.array([800.0, 600.0]), 1000.0
    tilt, focal = np.radians(20), 1.3
    lean = np.eye(3)
    lean[2, 1] = np.tan(tilt) / focal
    lean[1, 1] = np.hypot(1, np.tan(tilt))
    plane = Plane(middle, unit, 5 * np.eye(3) @ lean, 0.0, np.array([0, lean[2, 1], 0, 0, 0, 0]))
    below, height = plane.camera()
    far = plane.to_plane(middle)
    assert np.linalg.norm(far - below) / height == pytest.approx(np.tan(tilt), rel=0.05)
    straight = Plane(middle, unit, np.diag([5.0, 5.0, 1.0]), 0.0)
    below, height = straight.camera()
    assert np.abs(below).max() < 1e-9
    assert height == pytest.approx(5 * focal)


def guessed_long(plane, corners, by):
    """Quadrilaterals, px, of rows of which all but the last reach into the next one."""
    quads = corners.copy()
    quads[:15, 2:, 1] += by
    return plane.to_photo(quads)


@pytest.mark.parametrize(("down", "over"), [(1.0, False), (0.85, True)])
def test_rows_guessed_to_overlap_are_held_against_rows_side_by_side(down, over):
    plane, corners = straight_down(0.25), rows(down)
    quads = guessed_long(plane, corners, 0.1 if down == 1 else 0.0)
    picture = drawn(plane, corners)
    half = cv2.resize(picture, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
    start = fit_plane(quads, np.ones((20, 4)), (HIGH, WIDE))
    assert overlap_hypotheses(start, quads, np.ones(20), (HIGH, WIDE))
    ground = surface_likelihood(half, quads / 2)
    result = refine([picture, half], start, quads, ground, np.ones(20))
    assert (result.up is not None) is over
    off = np.linalg.norm(result.plane.to_photo(result.corners) - plane.to_photo(corners), axis=-1)
    assert np.median(off) < 0.03 * SIDE


def test_side_by_side_is_believed_where_it_fits_and_takes_no_odd_camera():
    usual = straight_down()
    stretched = replace(usual, fitted=np.array([0.0, 0.0, 0.1, 0.0, 0.0, 0.0]))
    assert stretched.unlikeliness() == pytest.approx((0.1 / 0.03) ** 2)
    assert flat_explains(usual, rows(1.0), usual)
    assert flat_explains(usual, rows(1.0), stretched)
    assert not flat_explains(stretched, rows(1.0), usual)
    assert not flat_explains(usual, rows(0.85), usual)


def test_rows_that_half_cover_one_another_are_neighbours():
    row = row_of(rows(0.55), DOWN)
    assert row.ahead.tolist() == [*range(5, 20), *[-1] * 5]


def test_what_another_square_covers_tells_nothing_of_a_place():
    """The row before lies half over the place: that its cloth is there is no sign of a square."""
    plane, corners = straight_down(), rows(0.6)
    picture = drawn(plane, corners)
    ground = surface_likelihood(picture, plane.to_photo(corners))
    place = corners[15:16] + np.array([0.0, 0.6])
    shown = uncovered(inner_places(place), poses_of(corners))
    assert 0.3 < shown.mean() < 0.8
    quads = plane.to_photo(place)
    assert inner_likelihood(picture, quads, ground, shown)[0] > 0.8
    assert inner_likelihood(picture, quads, ground)[0] < 0.5
