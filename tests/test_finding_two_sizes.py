"""Squares of two sizes in one photo, and squares in one place."""

import numpy as np
import pytest
from test_finding_boundary import drawn
from test_finding_covered import HIGH, WIDE, refined, rows, straight_down

from catalog.finding.layout.lattice import read_rows_of_sizes
from catalog.finding.layout.shared_area import one_in_a_place
from catalog.finding.layout.size_classes import size_classes
from catalog.finding.plane_fitting import fit_plane
from catalog.finding.shared_plane import poses_of


def two_sizes(other, rows_=4, cols=3, small_cols=3):
    """Squares of side 1, others beside them; which are which."""
    first = rows(1.06, rows_, cols)
    down = max(1, round(rows_ / other) - 1)
    second = other * rows(1.06, down, small_cols)
    apart = first[..., 0].max() - second[..., 0].min() + 0.2
    corners = np.concatenate([first, second + np.array([apart, 0.0])])
    size = np.array([1.0] * len(first) + [other] * len(second))
    return 0.75 * (corners - corners.mean(axis=(0, 1))), size


@pytest.mark.parametrize("other", [0.5, 0.8, 1.25])
def test_two_sizes_are_told_and_do_not_bend_the_plane(other):
    plane = straight_down(0.2)
    corners, size = two_sizes(other)
    rng = np.random.default_rng(3)
    quads = plane.to_photo(corners) + rng.normal(0, 1.5, corners.shape)
    start = fit_plane(quads, np.ones((len(quads), 4)), (HIGH, WIDE))
    fitted, told = size_classes(start, quads, np.ones(len(quads)), (HIGH, WIDE))
    # the commoner size is the usual one
    usual = 1.0 if 2 * (size == 1).sum() >= len(size) else other
    assert np.abs(told - size / usual).max() < 0.03
    assert np.median(poses_of(fitted.to_plane(quads) / told[:, None, None]).misfit) < 0.02


def test_one_size_stays_one():
    plane, corners = straight_down(0.25), rows(1.06)
    rng = np.random.default_rng(3)
    quads = plane.to_photo(corners) + rng.normal(0, 4, corners.shape)
    quads[5] += 20 * np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
    start = fit_plane(quads, np.ones((20, 4)), (HIGH, WIDE))
    fitted, told = size_classes(start, quads, np.ones(20), (HIGH, WIDE))
    assert fitted is start
    assert (told == 1).all()


def test_squares_of_two_sizes_are_read_size_by_size():
    corners, size = two_sizes(0.5)
    lattice = read_rows_of_sizes(poses_of(corners), size)
    assert len(set(zip(lattice.row, lattice.col, strict=True))) == len(size)
    assert sorted(lattice.order) == list(range(len(size)))


def test_of_two_squares_in_one_place_the_surer_stays():
    corners = np.concatenate([rows(1.06), rows(1.06)[7:8] + np.array([0.35, 0.05])])
    sure, clear = np.full(21, 0.9), np.ones((21, 4))
    sure[20] = 0.7
    stays = one_in_a_place(corners, sure, clear, clear, None)
    assert np.flatnonzero(~stays).tolist() == [20]


def test_squares_that_lie_over_one_another_stay():
    sure, clear = np.full(20, 0.9), np.ones((20, 4))
    assert one_in_a_place(rows(0.6), sure, clear, clear, np.array([0.0, 1.0])).all()
    # as in a heap: a corner under the next, every other side seen
    heap = rows(1.06)
    heap[7] += 0.3
    assert one_in_a_place(heap, sure, clear, clear, None).all()
    unseen = clear.copy()
    unseen[7] = 0.2
    assert np.flatnonzero(~one_in_a_place(heap, sure, unseen, clear, None)).tolist() == [7]


def test_a_refined_square_keeps_the_size_of_its_class():
    plane = straight_down()
    corners, size = two_sizes(0.5, 3, 2, 2)
    picture = drawn(plane, corners)
    result, error = refined(picture, plane, corners, scale=size)
    assert np.array_equal(result.scale, size)
    assert np.median(error) < 0.02
