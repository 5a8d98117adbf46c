"""Squares that a person draws: their size, and where one that was missed must lie."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from catalog.catalogue.events.drawn_squares import (
    cell_at,
    fit_outline,
    middle_of,
    proposed_at,
    proposed_near,
    sized,
    within,
)
from catalog.errors import CatalogueError
from catalog.models import Square

TILTED = np.array([[90.0, 8.0, 40.0], [-5.0, 80.0, 60.0], [0.01, 0.02, 1.0]])
"""From columns and rows on the floor to the photo, px: a camera held at a slant."""


def seen(points):
    x, y, part = TILTED @ np.column_stack([points, np.ones(len(points))]).T
    return np.column_stack([x / part, y / part])


def square_at(row, col, size=0.8, *, told=True):
    """A square of 4 in, a fifth of its place left between it and its neighbours."""
    corners = [(0, 0), (size, 0), (size, size), (0, size)]
    outline = seen(np.add(corners, (col, row)))
    place = (row, col) if told else (None, None)
    return Square(tuple(map(tuple, outline.tolist())), *place, 5 * size, 5 * size, 0.9)


ROWS = [square_at(row, col) for row in (1, 2, 3) for col in (1, 2, 3, 4)]


def test_a_drawn_square_has_the_size_that_its_nearest_neighbour_tells():
    large = square_at(2, 2, 0.9)
    made = sized(large.corners, [square_at(2, 3), square_at(9, 9, 0.2)], 2, 2)
    assert (made.corners, made.row, made.col, made.confidence) == (large.corners, 2, 2, 1.0)
    assert (made.width_in, made.height_in) == pytest.approx((4.5, 4.5))
    alone = sized(large.corners, [], None, None)
    assert (alone.width_in, alone.height_in, alone.row, alone.col) == (0.0, 0.0, None, None)


def test_a_drawn_square_is_measured_in_true_inches_where_its_neighbour_is():
    near = square_at(1, 1)
    true = replace(near, absolute=True)
    assert sized(near.corners, [true], 1, 2).absolute
    assert not sized(near.corners, [near], 1, 2).absolute
    assert not sized(near.corners, [], 1, 2).absolute


def test_width_and_height_of_a_drawn_square_are_told_apart():
    outline = seen(np.array([(1, 1), (2, 1), (2, 1.6), (1, 1.6)]))
    made = sized(tuple(map(tuple, outline.tolist())), ROWS, None, None)
    assert (made.width_in, made.height_in) == pytest.approx((5.0, 3.0))


@pytest.mark.parametrize("missing", [(2, 2), (1, 4), (3, 1), (4, 5)])
def test_a_missed_square_is_proposed_where_its_row_and_column_cross(missing):
    known = [one for one in ROWS if (one.row, one.col) != missing]
    loose = square_at(7, 7, told=False)
    found = proposed_at(missing, [*known, loose])
    np.testing.assert_allclose(found, square_at(*missing).corners, atol=0.1)


@pytest.mark.parametrize(
    "known",
    [ROWS[:3], ROWS[:4], ROWS[::4], [square_at(one.row, one.col, told=False) for one in ROWS]],
    ids=["three", "one row", "one column", "no rows"],
)
def test_what_tells_no_rows_and_columns_proposes_nothing(known):
    assert proposed_at((2, 2), known) is None
    assert cell_at((100.0, 100.0), known) is None


def test_four_squares_of_two_rows_and_columns_are_enough():
    known = [ROWS[0], ROWS[1], ROWS[4], ROWS[5]]
    np.testing.assert_allclose(proposed_at((3, 3), known), square_at(3, 3).corners, atol=0.1)


def test_a_square_is_proposed_about_a_point_like_the_nearest():
    there = middle_of(square_at(2, 5).corners)
    found = proposed_near(there, ROWS)
    np.testing.assert_allclose(found, square_at(2, 5).corners, atol=0.1)
    assert proposed_near(there, []) is None
    unknown = replace(square_at(2, 4), width_in=0.0, height_in=0.0)
    np.testing.assert_allclose(proposed_near(there, [unknown]), found, atol=0.1)


@pytest.mark.parametrize(("row", "col"), [(1, 1), (2, 5), (4, 2)])
def test_a_point_s_row_and_column_are_told(row, col):
    assert cell_at(middle_of(square_at(row, col).corners), ROWS) == (row, col)


def test_there_is_no_row_before_the_first():
    for place in ((0, 2), (2, 0)):
        assert cell_at(middle_of(square_at(*place).corners), ROWS) is None


def test_the_middle_is_where_the_diagonals_cross():
    # From (0, 0) to (6, 6) and from (8, 0) to (0, 4): x = y and x + 2 y = 8.
    outline = ((0.0, 0.0), (8.0, 0.0), (6.0, 6.0), (0.0, 4.0))
    assert middle_of(outline) == pytest.approx((8 / 3, 8 / 3))
    assert middle_of(((0.0, 0.0), (2.0, 0.0), (4.0, 0.0), (6.0, 0.0))) == (3.0, 0.0)


RIGHT = ((0.0, 0.0), (8.0, 0.0), (8.0, 8.0), (0.0, 8.0))


@pytest.mark.parametrize("outline", [RIGHT, tuple((x + 92.0, y + 52.0) for x, y in RIGHT)])
def test_an_outline_on_the_photo_stays_as_it_is(outline):
    assert fit_outline(outline, 100, 60) == outline


OUTSIDE = ("a corner lies outside the photo", "keep all four corners on the photo")
NO_SQUARE = (
    "these corners go round no square of cloth",
    "give them clockwise, from the one that is top left in its row",
)


@pytest.mark.parametrize(
    ("outline", "refused"),
    [
        (((-0.1, 0.0), *RIGHT[1:]), OUTSIDE),
        (((0.0, -0.1), *RIGHT[1:]), OUTSIDE),
        (tuple((x + 92.1, y) for x, y in RIGHT), OUTSIDE),
        (tuple((x, y + 52.1) for x, y in RIGHT), OUTSIDE),
        (((float("nan"), 0.0), *RIGHT[1:]), OUTSIDE),
        (RIGHT[::-1], NO_SQUARE),
        ((RIGHT[0], RIGHT[2], RIGHT[1], RIGHT[3]), NO_SQUARE),
        (((0.0, 0.0), (20.0, 0.0), (5.0, 5.0), (0.0, 20.0)), NO_SQUARE),
        (((0.0, 0.0), (8.0, 0.0), (8.0, 7.9), (0.0, 7.9)), NO_SQUARE),
        (((0.0, 0.0), (20.0, 0.0), (40.0, 0.0), (0.0, 30.0)), NO_SQUARE),
    ],
)
def test_what_is_no_outline_of_a_square_is_refused(outline, refused):
    with pytest.raises(CatalogueError) as caught:
        fit_outline(outline, 100, 60)
    assert (caught.value.problem, caught.value.cure) == refused


def test_corners_beyond_the_photo_are_drawn_in():
    outline = ((-3.0, 2.0), (120.0, -1.0), (99.0, 70.0), (0.0, 60.0))
    assert within(outline, 100, 60) == ((0.0, 2.0), (100.0, 0.0), (99.0, 60.0), (0.0, 60.0))
