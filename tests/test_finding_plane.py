"""The plane: congruent squares come back congruent, whatever camera looked at them."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.finding.plane_fitting import LIMITS, SPREAD, PlaneMisfit, fit_plane, least, soft_loss
from catalog.finding.shared_plane import KnownPoints, Plane, Poses, poses_of

SHAPE = (1500, 2000)


def camera(tilt_x=0.0, tilt_y=0.0, bend=0.0, roll=0.0, side_px=150.0):
    """A plane seen by a camera: squares of side 1 show about ``side_px`` large."""
    middle, unit = np.array([1000.0, 750.0]), 1250.0
    scale = unit / side_px
    cos, sin = np.cos(roll), np.sin(roll)
    turn = np.array([[cos, -sin, 0], [sin, cos, 0], [0, 0, 1]])
    lean = np.array([[1, 0, 0], [0, 1, 0], [tilt_x, tilt_y, 1]])
    return Plane(middle, unit, np.diag([scale, scale, 1.0]) @ turn @ lean, bend)


def grid(rows=4, cols=5, gap=0.1, turn=0.0):
    y, x = np.mgrid[0:rows, 0:cols].astype(float).reshape(2, -1) * (1 + gap)
    middle = np.stack([x - x.mean(), y - y.mean()], axis=-1)
    n = len(middle)
    return Poses(middle, np.full(n, turn), np.ones(n), np.zeros(n)).corners()


@given(st.floats(-0.4, 0.4), st.floats(-0.4, 0.4), st.floats(-0.04, 0.04), st.floats(-3.0, 3.0))
def test_to_photo_and_back(tilt_x, tilt_y, bend, roll):
    plane = camera(tilt_x, tilt_y, bend, roll)
    corners = grid()
    assert np.allclose(plane.to_plane(plane.to_photo(corners)), corners, atol=1e-7)


@settings(max_examples=25, deadline=None)
@given(st.floats(-0.3, 0.3), st.floats(-0.3, 0.3), st.floats(-0.02, 0.02))
def test_exact_corners_give_congruent_squares(tilt_x, tilt_y, bend):
    quads = camera(tilt_x, tilt_y, bend).to_photo(grid())
    plane = fit_plane(quads, np.ones((len(quads), 4)), SHAPE, error=0.002)
    poses = poses_of(plane.to_plane(quads))
    assert poses.misfit.max() < 0.004
    assert np.abs(poses.side - 1).max() < 0.006


def test_what_does_not_belong_stands_out():
    quads = camera(0.2, 0.1).to_photo(grid())
    quads[3] = quads[3].mean(axis=0) + 1.4 * (quads[3] - quads[3].mean(axis=0))
    rng = np.random.default_rng(1)
    quads += rng.normal(0, 2.0, quads.shape)
    plane = fit_plane(quads, np.ones((len(quads), 4)), SHAPE)
    poses = poses_of(plane.to_plane(quads))
    assert np.argmax(poses.misfit) == 3
    assert poses.side[3] == pytest.approx(1.4, abs=0.06)


def test_one_square_is_taken_as_seen_straight_on():
    quad = np.array([[[100, 100], [300, 102], [298, 302], [98, 300]]], float)
    plane = fit_plane(quad, np.ones((1, 4)), SHAPE)
    assert poses_of(plane.to_plane(quad)).misfit[0] < 0.02


def test_poses_by_two_known_corners():
    corners = grid(2, 2, turn=0.2)
    hidden = corners.copy()
    hidden[:, 2:] += 0.3
    weight = np.tile([1.0, 1.0, 0.0, 0.0], (len(corners), 1))
    assert np.allclose(poses_of(hidden, weight).corners(), corners, atol=1e-4)


def misfit_of(quads, side, known=None):
    rng = np.random.default_rng(len(quads))
    middle, unit = np.array([1000.0, 750.0]), 1250.0
    x, y = np.moveaxis((quads - middle) / unit, -1, 0)
    weight = rng.uniform(0.2, 1, x.shape)
    return PlaneMisfit(x, y, weight, 0.04, side, middle, unit, known)


def rough_quads():
    quads = camera(0.25, 0.1, 0.02).to_photo(grid())
    quads += np.random.default_rng(5).normal(0, 3.0, quads.shape)
    quads[2] += 40
    return quads


MARKS = KnownPoints(rough_quads()[4], np.array([[0.0, 0], [5, 0], [5, 5], [0, 5]]), 0.06)
SIDES = np.where(np.arange(20) % 3, 1.0, 0.7)


@pytest.mark.parametrize(("side", "known"), [(1.0, None), (SIDES, MARKS), (None, None)])
def test_derivatives_are_those_that_differences_tell(side, known):
    misfit = misfit_of(rough_quads(), side, known)
    at = misfit.begin(np.array([0.2, -0.1, 0.05, 0.03, 0.01, 0.2]))
    told = misfit.at(at)[1]
    steps = 1e-6 * np.eye(7)
    seen = [(misfit.at(at + h)[0] - misfit.at(at - h)[0]) / 2e-6 for h in steps]
    assert np.abs(told - np.stack(seen, axis=1)).max() < 1e-4 * np.abs(told).max()


def test_the_fit_ends_where_scipy_s_does():
    from scipy.optimize import least_squares

    misfit = misfit_of(rough_quads(), 1.0)
    begin = misfit.begin(np.zeros(6))
    theirs = least_squares(
        lambda x: misfit.at(x)[0],
        begin,
        loss="soft_l1",
        x_scale=SPREAD,
        bounds=(-LIMITS, LIMITS),
        ftol=1e-12,
        xtol=1e-12,
    )
    ours = least(misfit, begin)
    assert soft_loss(misfit.at(ours)[0]) == pytest.approx(theirs.cost, rel=1e-6)
    assert np.abs(ours - theirs.x).max() < 1e-3
