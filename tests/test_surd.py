import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.cutting.units.surd import ROOT2, Surd
from catalog.lengths import EIGHTH

fractions = st.fractions(min_value=-50, max_value=50, max_denominator=64)
surds = st.builds(Surd, fractions, fractions)
steps = st.sampled_from([Fraction(1), EIGHTH, Fraction(1, 16), Fraction(5, 127)])


@settings(max_examples=40)
@given(surds, surds, surds)
def test_surds_are_a_field(x, y, z):
    assert x * (y + z) == x * y + x * z
    assert x - x == 0
    if y != 0:
        assert x / y * y == x


@settings(max_examples=40)
@given(surds, surds)
def test_surds_stand_in_the_order_of_the_numbers(x, y):
    assert (x < y) + (x == y) + (x > y) == 1
    if abs(float(x) - float(y)) > 1e-9:
        assert (x < y) == (float(x) < float(y))


def test_the_order_holds_where_floats_end():
    # Convergents of root 2, from either side (Pell numbers).
    above, below = Fraction(886731088897, 627013566048), Fraction(2140758220993, 1513744654945)
    assert float(above) == float(below) == float(ROOT2)
    assert below < ROOT2 < above


@settings(max_examples=40)
@given(surds, steps)
def test_a_mark_below_and_a_mark_above(x, step):
    low, high, near = x.down_to(step), x.up_to(step), x.nearest_to(step)
    assert low <= x <= high
    assert low % step == high % step == near % step == 0
    assert high - low == (0 if low == x else step)
    assert -step < 2 * (near - x) <= step


def test_equal_numbers_are_one_key():
    assert {Surd(Fraction(2)), Fraction(2), 2, ROOT2 * ROOT2} == {2}
    assert ROOT2 != "root 2"


roots = st.sampled_from([2, 3, 5, 13])


@settings(max_examples=40)
@given(fractions, fractions, roots, fractions, fractions, roots)
def test_numbers_with_other_roots_are_compared_exactly(a, b, m, c, d, n):
    one, other = Surd(a, b, m), Surd(c, d, n)
    near = float(one) - float(other)
    if abs(near) > 1e-6:
        assert (one < other) == (near < 0)
        assert (one > other) == (near > 0)
    if m != n and b and d:
        assert one != other
        assert (one < other) != (other < one)
        with pytest.raises(ValueError, match="expected roots of"):
            one + other


def test_roots_that_lie_within_a_billionth_are_told_apart():
    # Convergents of root 2 beside a number with root 3 next to it.
    near = Surd(Fraction(math.isqrt(2 * 10**60) - math.isqrt(3 * 10**60), 10**30), 1, 3)
    off = float(near - Surd(0, 1, 3)) + math.sqrt(3) - math.sqrt(2)
    assert abs(off) < 1e-9
    assert near < Surd(0, 1, 2) or Surd(0, 1, 2) < near


@settings(max_examples=40)
@given(st.fractions(0, 1000, max_denominator=64))
def test_a_square_root_squared_is_the_number(number):
    root = Surd.square_root(number)
    assert root * root == number
    assert root >= 0
    assert all(root.radicand % factor**2 for factor in range(2, 40) if root.root)
