import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import LengthError
from catalog.length_text import MAX_LENGTH, parse_length
from catalog.lengths import (
    EIGHTH,
    SIXTEENTH,
    centimetres_shown,
    round_to,
    show_centimetres,
    show_length,
)

WAYS_OF_WRITING_IT = [
    "4 7/8",
    "4-7/8",
    "4⅞",
    "4 ⅞",
    "4.875",
    "39/8",
    "4 7/8 in",
    "4 7/8in",
    "4 7/8 Inches",
    '4 7/8"',
    "4 7/8''",
    "4 7/8″",
    "4 7/8\u2032\u2032",
    "4 7/8”",
    "4\u20117/8",  # non-breaking hyphen
    "4\u20137/8",  # en dash
    "4\u00a07/8",  # no-break space
    "4\u20097\u20448",  # thin space, fraction slash
    "4⁷\u2044₈",
    "\uff14\u3000\uff17\uff0f\uff18",  # fullwidth, as keyboards for Chinese and Japanese write
    "\uff14\uff0e\uff18\uff17\uff15",
    "\u200e4 7/8\u200f",  # marks of direction
    "  4 7 / 8  ",
    "+4 7/8",
]

NO_LENGTHS = {
    "": "missing",
    " \u3000": "missing",
    "four": "no length",
    "4 7/8 7/8": "no length",
    "1½½": "no length",
    "½3": "no length",
    "4²": "no length",
    "2 - 1/2": "no length",
    "4e3": "no length",
    "5'": "no length",
    "4.5.1": "no length",
    "inf": "no length",
    "5\x1b[31m": "no length",
    "-3": "not more than 0",
    "\u22123": "not more than 0",
    "0": "not more than 0",
    "0/8": "not more than 0",
    "4 7/0": "divides by zero",
    "4/0": "divides by zero",
    "4 8/8": "one or more",
    "1,250": "thousands",
    "5 furlongs": 'unit "furlongs"',
    "5 ft": 'unit "ft"',
    "10001": "longer than a bolt",
    "300 yd": "longer than a bolt",
    "1" * 61: "too much text",
}


@pytest.mark.parametrize("text", WAYS_OF_WRITING_IT)
def test_every_way_of_writing_it(text):
    assert parse_length(text) == Fraction(39, 8)


def test_decimal_comma():
    assert parse_length("12,5 cm") == parse_length("125mm") == Fraction(125 * 5, 127)


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        # Published yardage decimals and the yard in metres; the inch is 25.4 mm by definition:
        # NIST Special Publication 811 (2008), appendix B.6,
        # https://www.nist.gov/pml/special-publication-811
        ("25.4 mm", Fraction(1)),
        ("0.9144 m", Fraction(36)),
        ("91.44 cm", Fraction(36)),
        ("1 1/4 yd", Fraction(45)),
        ("1/8 yard", Fraction(9, 2)),
        ("12.4 cm", Fraction(1240, 254)),
        ("124 mm", Fraction(1240, 254)),
        ("1 m", Fraction(10000, 254)),
    ],
)
def test_units_are_exact(text, inches):
    assert parse_length(text) == inches


def test_a_bare_number_is_a_centimetre_where_those_are_asked_for():
    assert parse_length("12.7", cm=True) == parse_length(12.7, cm=True) == 5
    assert parse_length("5 in", cm=True) == parse_length("5", cm=False) == 5


def test_numbers_are_inches_as_they_print():
    assert parse_length(5) == 5
    assert parse_length(4.875) == Fraction(39, 8)
    assert parse_length(0.1) == Fraction(1, 10)
    assert parse_length(Fraction(1, 3)) == Fraction(1, 3)


@pytest.mark.parametrize(("text", "problem"), NO_LENGTHS.items())
def test_what_is_no_length_is_refused(text, problem):
    with pytest.raises(LengthError, match=problem) as caught:
        parse_length(text)
    assert str(caught.value).isprintable()
    assert caught.value.cure


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf, True, 0, -1, 10**9, 10**500])
def test_numbers_that_are_no_length_are_refused(number):
    with pytest.raises(LengthError):
        parse_length(number)


@given(st.text(max_size=80) | st.from_regex(r"[0-9 ./⅞,-]{1,12}(in|cm|yd|m)?", fullmatch=True))
def test_any_text_is_read_or_refused(text):
    try:
        inches = parse_length(text)
    except LengthError:
        return
    assert isinstance(inches, Fraction)
    assert 0 < inches <= MAX_LENGTH


@given(st.integers(1, 10_000 * 16), st.booleans(), st.booleans())
def test_a_ruler_s_marks_roundtrip(sixteenths, unicode, mark):
    length = Fraction(sixteenths, 16)
    assert parse_length(show_length(length, step=SIXTEENTH, unicode=unicode, mark=mark)) == length


@given(st.fractions(Fraction(1, 10**9), MAX_LENGTH, max_denominator=10**9), st.booleans())
def test_exact_values_roundtrip(length, unicode):
    assert parse_length(show_length(length, step=None, unicode=unicode)) == length


@given(st.integers(1, 250_000))
def test_millimetres_roundtrip(millimetres):
    length = parse_length(f"{millimetres} mm")
    assert parse_length(show_centimetres(length)) == length


@given(st.fractions(-MAX_LENGTH, MAX_LENGTH), st.sampled_from([EIGHTH, SIXTEENTH, Fraction(1, 10)]))
def test_rounding_goes_the_way_it_says(length, step):
    up, down = round_to(length, step, "up"), round_to(length, step, "down")
    nearest = round_to(length, step)
    assert down <= length <= up < length + step
    assert nearest in (down, up)
    assert abs(nearest - length) <= step / 2


@pytest.mark.parametrize(
    ("length", "options", "text"),
    [
        (Fraction(39, 8), {}, "4 7/8 in"),
        (Fraction(39, 8), {"unicode": True}, "4⅞ in"),
        (Fraction(1, 2), {"unicode": True, "mark": False}, "½"),
        (Fraction(79, 16), {"step": SIXTEENTH, "unicode": True}, "4 15/16 in"),
        (Fraction(79, 16), {}, "5 in"),  # a tie goes up
        (Fraction(79, 16), {"rounding": "down"}, "4 7/8 in"),
        (Fraction(465, 100), {"rounding": "up"}, "4 3/4 in"),
        (Fraction(1, 4), {"mark": False}, "1/4"),
        (Fraction(1, 3), {"step": None, "unicode": True}, "⅓ in"),
        (Fraction(22, 7), {"step": None}, "3 1/7 in"),
        (Fraction(5), {}, "5 in"),
        (Fraction(0), {}, "0 in"),
        (Fraction(-9, 8), {}, "-1 1/8 in"),
    ],
)
def test_shown_as_on_a_ruler(length, options, text):
    assert show_length(length, **options) == text


@pytest.mark.parametrize(
    ("length", "options", "text"),
    [
        (Fraction(5), {}, "12.7 cm"),
        (Fraction(39, 8), {}, "12.4 cm"),
        (Fraction(39, 8), {"places": 2}, "12.38 cm"),
        (Fraction(10000, 254), {"mark": False}, "100.0"),
        (Fraction(5), {"places": 0, "rounding": "down"}, "12 cm"),
        (Fraction(-5), {}, "-12.7 cm"),
        (Fraction(5), {"places": None}, "12.7 cm"),
        (Fraction(3, 16), {"places": None}, "0.47625 cm"),
        (Fraction(1, 3), {"places": None}, "0.8 cm"),
    ],
)
def test_shown_in_centimetres(length, options, text):
    assert show_centimetres(length, **options) == text


def test_a_number_too_long_to_print_is_refused():
    with pytest.raises(LengthError, match="longer than a bolt"):
        parse_length(10**5000)


def test_sentences_in_centimetres_for_a_while():
    with centimetres_shown():
        assert show_length(Fraction(5)) == "12.7 cm"
        # Marks of an inch ruler mean nothing there; a length is as exact as it can be written.
        assert show_length(Fraction(9, 2), mark=False, rounding="up") == "11.43"
        assert show_length(Fraction(1, 3), rounding="up") == "0.9 cm"
        with centimetres_shown(False):
            assert show_length(Fraction(5)) == "5 in"
    assert show_length(Fraction(5)) == "5 in"
