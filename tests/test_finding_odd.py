"""Squares of another size are told from squares with a side misread."""

import numpy as np
import pytest

from catalog.finding.odd_sizes import odd_sizes


def told(width, height, usual=1.0, seen=(1, 1, 1, 1), shown=(1, 1, 1, 1)):
    one = np.array([[1.0, 1.0], [width, height]])
    flags = odd_sizes(
        one,
        np.array([1.0, usual]),
        np.array([[1] * 4, seen], float),
        np.array([[1] * 4, shown], float),
    )
    assert not flags[0]
    return bool(flags[1])


@pytest.mark.parametrize(
    ("width", "height", "odd"),
    [
        (0.95, 1.0, False),  # one side misread
        (0.95, 1.05, False),
        (0.92, 1.0, True),  # a strip cut too narrow
    ],
)
def test_one_measure_is_odd_if_it_is_far_off(width, height, odd):
    assert told(width, height) is odd
    assert told(height, width) is odd


def test_a_square_held_to_another_size_is_odd():
    assert told(0.976, 0.975, usual=0.975)


def test_a_measure_with_a_hidden_side_says_nothing():
    under = (1, 1, 0, 1)  # the lower side lies under the next row
    assert told(0.92, 0.9, shown=under)
    assert not told(0.97, 0.9, shown=under)
    assert not told(0.97, 0.9, seen=under)
    assert not told(0.9, 0.9, seen=(0, 0, 0, 0))
