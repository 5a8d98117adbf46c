"""Pinked edges, and squares that cover each other, in drawn pictures."""

import cv2
import numpy as np
import pytest

from catalog.finding.corners import refine
from catalog.finding.covered import without_hidden
from catalog.finding.edges import look
from catalog.finding.ground import ground_likeness
from catalog.finding.laid_over import overlapping, slipped_back
from catalog.finding.missing import places
from catalog.finding.plane import UNIT, Plane, Poses, fit_covered, fit_plane, poses_of
from catalog.finding.rows import realigned
from catalog.finding.teeth import pinking_of, tips

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


def pinked(square, teeth, depth):
    """The outline of a square whose sides are rows of teeth, their tips on its sides."""
    points = []
    for k in range(4):
        a, b = square[k], square[(k + 1) % 4]
        inward = np.array([-(b - a)[1], (b - a)[0]])
        for i in range(teeth):
            points += [a + (b - a) * i / teeth, a + (b - a) * (i + 0.5) / teeth + depth * inward]
    return np.array(points)


def refined(picture, plane, corners, seed=0):
    rng = np.random.default_rng(seed)
    quads = plane.to_photo(corners)
    rough = quads + rng.normal(0, 4, (len(quads), 1, 2)) + rng.normal(0, 2, quads.shape)
    start = fit_plane(rough, np.ones((len(rough), 4)), picture.shape)
    half = cv2.resize(picture, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
    ground = ground_likeness(half, rough / 2)
    poses = poses_of(start.to_plane(rough))
    result = refine([picture, half], start, poses, ground, np.ones(len(rough)))
    return result, np.linalg.norm(result.plane.to_photo(result.corners) - quads, axis=-1) / SIDE


@pytest.mark.parametrize("teeth", [20, 32])
def test_sides_run_along_the_tips_of_the_teeth(teeth):
    plane, corners, depth = straight_down(), rows(1.06), 0.5 / teeth
    picture = drawn(plane, [pinked(c, teeth, depth) for c in corners])
    result, error = refined(picture, plane, corners)
    assert result.pinking.depth == pytest.approx(depth, rel=0.35)
    # half the depth is where the middle of the teeth lies
    assert np.median(error) < depth / 4


def test_only_the_pinked_squares_of_a_bundle_are_taken_for_such():
    plane, corners = straight_down(), rows(1.06)
    is_pinked = np.arange(len(corners)) % 2 == 0
    outlines = [pinked(c, 25, 0.02) if p else c for c, p in zip(corners, is_pinked, strict=True)]
    picture = drawn(plane, outlines)
    reach = tips([picture], plane, corners, pinking_of([picture], plane, corners))
    assert np.array_equal(reach > 0, is_pinked)


def test_straight_edges_have_no_teeth():
    plane, corners = straight_down(), rows(1.06)
    assert pinking_of([drawn(plane, corners)], plane, corners).wave == 0


@pytest.mark.parametrize("upside_down", [False, True])
def test_hidden_sides_say_nothing(upside_down):
    plane, corners = straight_down(), rows(0.75)
    order = corners[::-1] if upside_down else corners
    picture = drawn(plane, order)
    ground = ground_likeness(picture, plane.to_photo(corners))
    evidence = look([picture], plane, corners, ground, 0.02, 0.005, 0.0)
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


def test_the_share_seen_of_covered_squares_is_found():
    plane, share = straight_down(0.25), 0.86
    corners = rows(1.0)
    covered = np.arange(len(corners)) < 15
    height = np.where(covered, share, 1.0)
    seen = (
        corners.mean(axis=1, keepdims=True)
        + UNIT * np.stack([np.ones_like(height), height], axis=-1)[:, None]
    )
    quads = plane.to_photo(seen)
    start = fit_plane(quads, np.ones((len(quads), 4)), (HIGH, WIDE))
    whole, part = fit_covered(quads, np.ones((len(quads), 4)), (HIGH, WIDE), 0.015, start, covered)
    assert part.share == pytest.approx(share, abs=0.02)
    assert part.misfit < whole.misfit


# ---------------------------------------------------------------- rows that lie over one another


@pytest.mark.parametrize("upside_down", [False, True])
@pytest.mark.parametrize("slip", [-0.2, 0.2])
def test_rows_that_slipped_are_put_back_by_the_way_in_which_they_lie(upside_down, slip):
    plane, corners = straight_down(), rows(0.75)
    picture = drawn(plane, corners[::-1] if upside_down else corners)
    ground = ground_likeness(picture, plane.to_photo(corners))
    inner = slice(5, 15)  # the second and the third row
    slipped = corners.copy()
    slipped[inner, :, 1] += slip
    evidence = look([picture], plane, slipped, ground, 0.25, 0.006, 0.0)
    back = slipped_back(evidence, slipped, np.ones(len(corners)), overlapping(slipped))
    assert np.abs(back - corners).max() < 0.02


def test_rows_with_gaps_do_not_lie_over_one_another():
    assert overlapping(rows(1.05)) is None
    assert overlapping(rows(0.8)) == 0
    assert overlapping(rows(0.8)[:, [0, 3, 2, 1]][..., ::-1]) == 1


def test_squares_out_of_a_covered_row_are_brought_back():
    rng = np.random.default_rng(0)
    corners = rows(0.8) + rng.normal(0, 0.01, (20, 1, 2))
    moved = corners.copy()
    moved[7, :, 1] += 0.15
    back = realigned(moved)
    assert np.abs(back[7] - corners[7]).max() < 0.05
    assert np.array_equal(np.delete(back, 7, axis=0), np.delete(moved, 7, axis=0))


def test_squares_beside_each_other_keep_their_places():
    corners = rows(1.05)
    corners[7, :, 1] += 0.15
    assert np.array_equal(realigned(corners), corners)


def test_where_most_sides_are_hidden_all_that_look_that_way_are():
    plane, corners = straight_down(), rows(0.75)
    picture = drawn(plane, corners)
    ground = ground_likeness(picture, plane.to_photo(corners))
    short = corners.copy()
    short[2, 2:, 1] -= 0.25  # ends where the next row begins, as if it were a lower square
    evidence = look([picture], plane, short, ground, 0.02, 0.005, 0.0)
    assert without_hidden(evidence, short).shown[2, 2].sum() == 0


def test_a_place_between_rows_that_overlap_is_free():
    poses = poses_of(np.delete(rows(0.66), 7, axis=0))
    assert np.abs(places(poses).middle - rows(0.66)[7].mean(axis=0)).max(axis=1).min() < 0.05


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
