"""What is told of strips side by side or round a centre follows from what is cut."""

from fractions import Fraction

import pytest
from typer.testing import CliRunner

from catalog.cutting.customary import QUARTER_SEAM
from catalog.cutting.units.sized_unit import strip_width
from catalog.cutting.units.sizing import size_from_finished, size_from_square
from catalog.cutting.units.units_by_name import find_method
from catalog.lengths import EIGHTH, MILLIMETRE
from cli.main import app

SEAM = QUARTER_SEAM


def _square(size, mark):
    return size_from_square(find_method("rails-5"), size, mark=mark)


def _across(sized):
    """Lay the strips over one another by a seam each, on the centre where there is one."""
    centre = sized.cuts[0].shape == "square"
    wide, strips = sized.cuts[0].width, len(sized.cuts) - 1
    if not centre:
        return len(sized.cuts) * (strip_width(sized.cuts) - 2 * SEAM) + 2 * SEAM
    return wide + strips // 2 * (strip_width(sized.cuts) - 2 * SEAM)


@pytest.mark.parametrize("unit", ["rails-5", "rails-7", "log-cabin", "log-cabin-4-2"])
@pytest.mark.parametrize("mark", [EIGHTH, MILLIMETRE])
def test_strips_come_to_what_is_told(unit, mark):
    size = 10 * (10 * MILLIMETRE if mark == MILLIMETRE else 1)
    made = size_from_finished(find_method(unit), Fraction(size), mark=mark)
    assert made.sewn == _across(made) >= size + 2 * SEAM
    last = made.cuts[-1]
    assert 0 <= last.width - made.sewn < mark
    assert strip_width(made.cuts) % mark == 0
    given = size_from_square(find_method(unit), Fraction(size), mark=mark)
    assert given.sewn == given.trim == given.trim_height == _across(given)
    assert given.cuts[-1].width >= given.trim


def test_rails_from_a_square_are_no_higher_than_long():
    sized = _square(Fraction(5), EIGHTH)
    assert {cut.height for cut in sized.cuts} == {Fraction(11, 8)}
    assert {cut.width for cut in sized.cuts} == {5}
    assert sized.trim == Fraction(39, 8)
    assert _square(Fraction(5), MILLIMETRE).trim <= 5


def test_logs_in_centimetres_are_as_long_as_the_block_grows():
    made = size_from_finished(find_method("log-cabin-4-2"), 100 * MILLIMETRE, mark=MILLIMETRE)
    assert (made.cuts[0].width, strip_width(made.cuts)) == (33 * MILLIMETRE, 23 * MILLIMETRE)
    # 3.3 + 8 x 2.3 - 16 x 0.635 cm
    assert made.sewn == Fraction("115.4") * MILLIMETRE
    assert made.cuts[-1].width == 116 * MILLIMETRE


def test_longer_rails_are_squared_off_to_their_height():
    told = CliRunner().invoke(app, ["size", "rails-5", "--square", "5"]).stdout
    assert "square the ends off to 4 7/8 in" in told
