from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.cutting.units.sewn_seam import reach, seam_of_unit
from catalog.cutting.units.surd import ROOT2
from catalog.cutting.units.units_by_name import find_method, usual_units
from catalog.errors import UsageError
from catalog.lengths import EIGHTH

METHODS = [method for unit in usual_units() for method in unit.ways if unit.name != "rectangle"]
EACH_METHOD = pytest.mark.parametrize(
    "method", METHODS, ids=lambda method: f"{method.unit}-{method.at_a_time}"
)

squares = st.integers(8 * 4, 8 * 20).map(lambda eighths: Fraction(eighths, 8))
seams = st.integers(12, 32).map(lambda part: Fraction(part, 64))


@EACH_METHOD
@settings(max_examples=25)
@given(cut=squares, seam=seams)
def test_a_measured_unit_tells_the_seam(method, cut, seam):
    if method.main.width.seam == 2 * method.main.width.finished:
        with pytest.raises(UsageError, match="doesn't tell the seam"):
            seam_of_unit(method, cut, cut)
        return
    measured = method.sewn(cut, seam).nearest_to(Fraction(1, 10_000))
    assert abs(seam_of_unit(method, cut, measured) - seam) < Fraction(1, 500)


def test_three_strips_sewn_at_a_quarter_measure_three_and_a_half():
    # Strips of 1 1/2 in must press to 3 1/2 in (units.csv, SM001).
    nine = find_method("nine-patch")
    assert seam_of_unit(nine, Fraction(3, 2), Fraction(7, 2)) == Fraction(1, 4)


def test_a_unit_measured_larger_than_its_squares_is_a_slip():
    with pytest.raises(UsageError, match="can't measure"):
        seam_of_unit(find_method("half-square-triangle"), Fraction(5), Fraction(11, 2))


def test_a_wide_seam_misses_the_trim_size_and_says_what_to_cut():
    method, wanted = find_method("half-square-triangle"), Fraction(9, 2)
    fine = reach(method, Fraction(39, 8), [Fraction(1, 4)], wanted=wanted)
    assert (fine.trim, fine.short) == (wanted, 0)
    wide = reach(method, Fraction(39, 8), [Fraction(1, 4), Fraction(5, 16)], wanted=wanted)
    assert wide.trim == Fraction(35, 8)
    assert wide.short == wanted - (Fraction(39, 8) - ROOT2 * Fraction(5, 16))
    assert wide.cut_needed == 5
    assert reach(method, wide.cut_needed, [Fraction(5, 16)], wanted=wanted).short == 0


@given(
    st.sampled_from(METHODS),
    squares,
    st.lists(seams, min_size=1, max_size=4),
    st.sampled_from([EIGHTH, Fraction(5, 127)]),
)
def test_every_unit_reaches_the_trim_size(method, cut, sewn_seams, mark):
    reached = reach(method, cut, sewn_seams, mark=mark)
    assert all(method.sewn(cut, seam) >= reached.trim for seam in sewn_seams)
    assert reached.sewn - reached.trim < mark
    assert reached.short == 0


def test_no_seam_is_no_answer():
    with pytest.raises(ValueError, match="expected one seam"):
        reach(find_method("half-square-triangle"), Fraction(5), [])
