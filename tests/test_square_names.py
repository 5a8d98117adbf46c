"""Names as a person gives them: ground, figures, kind of print; words that can be typed."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from prints_made import AQUA, BLACK, GREEN, GREY, PINK, RED, WHITE, any_print, bundle_of, print_of
from test_families import swatches

from catalog.bundle.fabrics import SEVERAL
from catalog.bundle.families import tell_families
from catalog.bundle.family_words import contradicts, family_word
from catalog.bundle.naming.square_names import short_name, tell_names, terms_of
from catalog.bundle.naming.telling_colours import telling_colours
from catalog.colour import colour_names
from catalog.colour.ciede2000 import ciede2000
from catalog.colour.colour_words import colour_of_words

BESIDE = {
    "pinks": {"pinks", "reds", "purples", "oranges"},
    "reds": {"reds", "pinks", "oranges", "browns", "purples"},
    "oranges": {"oranges", "reds", "pinks", "yellows", "browns"},
    "browns": {"browns", "reds", "oranges", "yellows", "tans", "greens"},
    "tans": {"tans", "browns", "creams", "yellows", "greys"},
    "creams": {"creams", "tans", "yellows", "whites", "pinks", "oranges"},
    "yellows": {"yellows", "oranges", "greens", "browns", "tans", "creams"},
    "greens": {"greens", "yellows", "teals", "tans"},
    "teals": {"teals", "greens", "blues"},
    "blues": {"blues", "teals", "greens", "purples"},
    "purples": {"purples", "blues", "pinks", "reds"},
    "whites": {"whites", "creams", "greys"},
    "greys": {"greys", "whites", "blacks", "tans", "creams", "yellows"},
    "blacks": {"blacks", "greys"},
}
"""Families that a shop's word for a colour may as well be looked for in."""

FLORAL = print_of((WHITE, 0.55), (PINK, 0.2), (AQUA, 0.15), (GREEN, 0.1))


def name_of(one, terms="standard"):
    (named,) = tell_names([one], terms)
    return named.colour_name


def test_a_floral_is_called_by_ground_and_figures():
    assert name_of(FLORAL, "everyday") == "white with pink, aqua and green, large print"
    standard = "white with moderate pink, very light bluish green and moderate yellowish green"
    assert name_of(FLORAL) == f"{standard}, large print"
    assert short_name(name_of(FLORAL)) == "white with pink and green"


def test_a_print_without_ground_has_three_colours_at_most():
    """Another hue is named before a second green."""
    colours = ((RED, 0.3), (AQUA, 0.25), (GREEN, 0.2), (PINK, 0.15), (GREY, 0.1))
    name = name_of(print_of(*colours, ground=False), "everyday")
    assert name == "red, aqua and pink, large print"


def test_the_kind_of_print_is_told():
    check = print_of((BLACK, 0.52), (WHITE, 0.48), scale="small", motif="check", ground=False)
    assert name_of(check) == "black and white, small check"
    assert name_of(print_of((WHITE, 0.9), (RED, 0.1), scale="small", motif="dots")) == (
        "white with strong red, small dots"
    )


def test_plain_squares_keep_their_names_and_tonal_ones_have_their_mean():
    plain = swatches((43, -2, -42), (93, 0, 0), (20, 10, 5))
    names = colour_names.name_colours([one.lab for one in plain])
    assert [one.colour_name for one in tell_names(plain)] == names
    shades = print_of(((40, -2, -40), 0.6), ((50, -2, -44), 0.4), scale="tonal", mean=(43, -2, -42))
    assert name_of(shades) == f"{names[0]}, tonal"
    assert name_of(replace(shades, look=replace(shades.look, scale="plain"))) == names[0]


def test_colours_of_one_name_are_named_once():
    close = print_of((WHITE, 0.6), (PINK, 0.2), ((74.0, 26.0, 7.0), 0.2))
    assert name_of(close) == "white with moderate pink, large print"
    greens = print_of(((36, -25, 17), 0.4), ((20, -44, 26), 0.3), ((15, -26, 14), 0.3))
    assert name_of(greens, "everyday") == "dark green, large print"


def test_a_speck_is_not_named():
    speck = print_of((WHITE, 0.5), (BLACK, 0.47), ((56, 60, 60), 0.03))
    assert name_of(speck, "everyday") == "white with black, large print"


@settings(max_examples=150)
@given(any_print(), st.sampled_from(["standard", "everyday"]))
def test_the_colour_that_a_square_is_looked_for_by_is_in_its_name(one, terms):
    (telling,) = telling_colours([one])
    name = name_of(one, terms)
    named = terms_of(name)
    word = telling.name if terms == "standard" else colour_names.everyday_words()[telling.name]
    assert word in named
    assert len(named) == len(set(named)) <= 4
    assert len(named) <= 3 or any(colour.ground for colour in one.palette)
    short = [term.split()[-1] for term in named] if len(named) > 1 else named[0].split()
    assert set(short_name(name).replace(",", "").split()) - {"and", "with"} == set(short)


@settings(max_examples=50)
@given(st.lists(any_print(), min_size=1, max_size=12), st.randoms())
def test_names_do_not_hang_on_the_order(prints, shuffler):
    bundle = bundle_of(*prints)
    told = {one.label: one.colour_name for one in tell_names(bundle)}
    shuffler.shuffle(bundle)
    assert {one.label: one.colour_name for one in tell_names(bundle)} == told


def test_every_colour_has_an_everyday_word_that_means_it():
    """Each can be typed, lies near its block, and is of its family or of one beside that."""
    words, away = colour_names.everyday_words(), []
    rows = colour_names.published("iscc_nbs.csv")
    assert {row["name"] for row in rows} == words.keys()
    for row in rows:
        meant = colour_of_words(words[row["name"]]).lab
        block = tuple(float(row[axis]) for axis in "Lab")
        told = family_word(meant)
        beside = told in BESIDE[family_word(block, row["name"])]
        assert beside or not contradicts(told, row["name"]), (row["name"], told)
        away.append(float(ciede2000([float(row[axis]) for axis in "Lab"], meant)))
    assert np.median(away) < 10
    assert max(away) < 29


@pytest.mark.parametrize("word", sorted(set(colour_names.everyday_words().values())))
def test_everyday_words_are_short(word):
    assert len(word.split()) <= 2


def test_squares_surely_of_one_fabric_are_called_alike_ground_first():
    """By the mean of them, where each by itself would be called something else."""
    one = print_of(((56, -27, 19), 0.3), (PINK, 0.3), (WHITE, 0.4), ground=False)
    other = print_of((WHITE, 0.45), ((50, -12, 24), 0.28), (PINK, 0.27), scale="medium")
    bundle = bundle_of(one, other, other)
    assert len({one.colour_name for one in tell_names(bundle)}) == 2
    sure = [replace(square, fabric="F01") for square in bundle]
    names = {one.colour_name for one in tell_names(sure, "everyday")}
    assert len(names) == 1
    assert names.pop().startswith("white with ")
    doubted = [replace(square, flags=(SEVERAL,)) for square in sure]
    assert len({one.colour_name for one in tell_names(doubted)}) == 2


@settings(max_examples=15, deadline=None)
@given(st.lists(any_print(), min_size=2, max_size=16), st.randoms())
def test_one_fabric_has_one_name_and_lies_in_one_family(prints, shuffler):
    bundle = [replace(one, fabric=f"F{n % 3:02d}") for n, one in enumerate(bundle_of(*prints))]
    told = {one.label: (one.colour_name, one.family) for one in tell_families(tell_names(bundle))}
    assert len({(one.fabric, told[one.label]) for one in bundle}) == min(3, len(bundle))
    shuffler.shuffle(bundle)
    again = tell_families(tell_names(bundle))
    assert told == {one.label: (one.colour_name, one.family) for one in again}
