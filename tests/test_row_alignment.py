import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import theilslopes

from catalog.finding.layout.row_alignment import theil_sen


@given(st.integers(2, 12), st.integers(0, 9999))
def test_a_line_that_strays_do_not_bend_is_that_of_the_reference_library(n, seed):
    numbers = np.random.default_rng(seed)
    x = np.sort(numbers.normal(size=n))
    y = 0.3 * x + numbers.standard_t(1, size=n)
    slope, level, *_ = theilslopes(y, x)
    assert theil_sen(x, y) == pytest.approx((slope, level), rel=1e-12, abs=1e-12)
