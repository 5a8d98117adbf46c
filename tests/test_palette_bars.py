"""Bars of a square's colours, and prints in plain words."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sheets_made import swatch

from catalog.lengths import centimetres_shown
from catalog.models import PaletteColour, PrintLook
from catalog.report.palette_bars import (
    bar_words,
    bars_of,
    hue_words,
    looks_told,
    palette_bars,
    print_words,
)

WHITE, PINK, PALER = (95.0, 0.0, 2.0), (60.0, 45.0, 5.0), (62.0, 44.0, 5.0)


def test_the_ground_comes_first_then_the_largest_share():
    dark = PaletteColour((30.0, 0.0, 0.0), 0.3)
    (bar,) = bars_of(((PaletteColour(PINK, 0.5), dark, PaletteColour(WHITE, 0.2, True)),))
    assert [one.percent for one in bar] == [20, 50, 30]
    assert [one.start for one in bar] == pytest.approx([0.0, 0.2, 0.7])
    assert [one.ground for one in bar] == [True, False, False]
    assert bar_words(bar) == "white 20 %, deep pink 50 %, dark gray 30 %"
    assert bar[0].colour == "#f2f0ed"
    assert bar[2].grey == bar[2].colour == "#474747"


@given(st.lists(st.floats(0.001, 1.0), min_size=1, max_size=5))
def test_percents_add_up_and_stretches_fill_the_bar(shares):
    palette = tuple(PaletteColour((50.0, 0.0, 0.0), one / sum(shares)) for one in shares)
    (bar,) = bars_of((palette,))
    assert sum(one.percent for one in bar) == 100
    assert all(abs(one.percent - 100 * one.share) < 1 for one in bar)
    assert bar[-1].start + bar[-1].share == pytest.approx(1.0)


def test_colours_of_one_name_are_told_as_one():
    palette = (PaletteColour(PINK, 0.4), PaletteColour(WHITE, 0.35), PaletteColour(PALER, 0.25))
    (bar,) = bars_of((palette,))
    assert len(bar) == 3
    assert bar_words(bar) == "deep pink 65 %, white 35 %"
    greens = (PaletteColour((60.0, -30.0, 5.0), 0.4), PaletteColour((40.0, -30.0, 20.0), 0.6))
    (both,) = bars_of((greens,))
    assert bar_words(both) == "dark yellowish green 60 %, light green 40 %"
    assert hue_words(both) == "green"
    assert hue_words(bar, "") == "pink 65, white 35"


def test_colours_are_called_in_everyday_words_where_those_are_wanted():
    (bar,) = bars_of(((PaletteColour(PINK, 0.6), PaletteColour(WHITE, 0.4)),), "everyday")
    assert bar_words(bar) == "rose 60 %, white 40 %"


def test_a_square_that_was_kept_without_a_palette_has_one_bar_of_its_mean():
    (bar,) = palette_bars([swatch(0, 4)])
    assert (bar[0].share, bar[0].percent, bar_words(bar)) == (1.0, 100, "deep reddish brown")
    hand, wall = (palette_bars([swatch(2, 4)], way)[0] for way in ("hand", "wall"))
    assert [one.percent for one in hand] != [one.percent for one in wall]
    assert palette_bars([]) == ()


@pytest.mark.parametrize(
    ("look", "says"),
    [
        (None, ()),
        (PrintLook(), ()),
        (PrintLook("tonal"), ("tonal",)),
        (PrintLook("small"), ("small print",)),
        (PrintLook("large", "check"), ("large check",)),
        (PrintLook("plain", "stripe"), ("stripe",)),
        (
            PrintLook("small", "stripe", True, (1.27, 0.0)),
            ("small stripe", "repeats every 1 1/4 in", "runs one way"),
        ),
        (PrintLook("small", "dots", False, (0.31, 0.3)), ("small dots", "repeats every 5/16 in")),
        (
            PrintLook("medium", "", False, (2.0, 1.26)),
            ("medium print", "repeats every 1 1/4 in one way and 2 in the other"),
        ),
        (
            PrintLook("medium", "", False, (1.26, 2.0)),
            ("medium print", "repeats every 1 1/4 in one way and 2 in the other"),
        ),
        (PrintLook("large", "", False, (float("inf"), 0.0)), ("large print",)),
    ],
)
def test_a_print_in_plain_words(look, says):
    assert print_words(look) == says


def test_a_repeat_is_in_centimetres_where_those_are_shown():
    with centimetres_shown():
        assert print_words(PrintLook("small", "", False, (0.5, 0.5)))[1] == "repeats every 1.27 cm"


def test_squares_of_one_fabric_have_one_repeat_however_they_were_laid():
    repeats = [("F01", (1.125, 2.0)), ("F01", (2.0, 1.1)), ("F01", (0.7, 1.1)), ("F02", (0.5, 3.0)),
               ("F01", None)]  # fmt: skip
    squares = [
        replace(swatch(1, n), fabric=fabric, look=PrintLook("medium", "", False, repeat))
        for n, (fabric, repeat) in enumerate(repeats, 1)
    ]
    told = [look.repeat_in for look in looks_told(squares)]
    assert told == [(1.1, 2.0)] * 3 + [(0.5, 3.0), None]
