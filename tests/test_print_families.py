"""Where prints are looked for: by their most telling colour, under many, or under none."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from prints_made import (
    BLACK,
    BLUE,
    GREEN,
    GREY,
    NAVY,
    PINK,
    RED,
    WHITE,
    any_print,
    bundle_of,
    print_of,
)
from test_families import families, of_hue, swatches

from catalog.bundle.eligibility import of_kind
from catalog.bundle.families import MULTICOLOURED, rainbow_order, tell_families
from catalog.bundle.family_words import contradicts, family_noun
from catalog.bundle.naming.square_names import tell_names, terms_of
from catalog.models import Need

RED_ON_WHITE = print_of((WHITE, 0.85), (RED, 0.15))
MANY = print_of((WHITE, 0.4), (RED, 0.2), (BLUE, 0.2), (GREEN, 0.2))
YELLOW = (84.0, 5.0, 75.0)


@pytest.mark.parametrize(
    ("one", "family"),
    [
        (RED_ON_WHITE, "reds"),
        (print_of((WHITE, 0.5), (BLACK, 0.5)), "whites"),
        (print_of((BLACK, 0.5), (WHITE, 0.3), (GREY, 0.2)), "blacks"),
        (print_of((NAVY, 0.8), (WHITE, 0.2)), "blues"),
        (print_of((WHITE, 0.97), (RED, 0.03)), "whites"),
        (print_of((BLACK, 0.6), (PINK, 0.3), (GREEN, 0.1)), "pinks"),
        (print_of(((91, 1, 13), 0.8), (BLUE, 0.2)), "blues"),
        (print_of((BLUE, 0.7), (YELLOW, 0.1), (WHITE, 0.2)), "blues"),
        (MANY, MULTICOLOURED),
        (print_of((RED, 0.4), (GREEN, 0.35), (YELLOW, 0.25), ground=False), MULTICOLOURED),
        (replace(RED_ON_WHITE, palette=(), palette_at_wall=(), look=None), "greys"),
    ],
)
def test_a_print_is_looked_for_by_its_most_telling_colour(one, family):
    assert families(tell_families([one])) == [family]


def test_prints_go_to_the_plains_of_their_telling_colour():
    reds, blues = [(42 + n, 52, 26) for n in range(4)], [(43, -2, -40 - n) for n in range(4)]
    bundle = bundle_of(*swatches(*reds, *blues), RED_ON_WHITE, MANY, replace(MANY, lab=(30, 0, 0)))
    told = families(tell_families(bundle))
    assert told == ["reds"] * 4 + ["blues"] * 4 + ["reds", MULTICOLOURED, MULTICOLOURED]
    assert len(set(families(tell_families(bundle, 3)))) == 3
    assert len(set(families(tell_families(bundle, 5)))) == 5
    assert len(set(families(tell_families(bundle, 1)))) == 1


@pytest.mark.parametrize(
    ("asked", "fits"), [("multicoloured", True), ("multicolored", True), ("red", False)]
)
def test_a_pattern_may_ask_for_multicoloured_squares(asked, fits):
    (told,) = tell_families([MANY])
    need = Need("middle", "feature", "square", 0, 4, 1, family=asked)
    assert of_kind(told, need) == fits


@pytest.mark.parametrize(
    ("family", "squares"),
    [("blue", "blues"), ("reds", "reds"), ("multicoloured", "multicoloured squares")],
)
def test_the_squares_of_a_family_have_a_noun(family, squares):
    assert family_noun(family) == squares


def test_multicoloured_squares_hang_between_the_hues_and_the_neutrals():
    violet, grey = swatches(of_hue(50, 40, 315), (50, 0, 0))
    bundle = bundle_of(grey, MANY, violet, RED_ON_WHITE)
    assert [one.label for one in rainbow_order(bundle)] == ["S004", "S003", "S002", "S001"]


@settings(max_examples=60)
@given(st.lists(any_print(), min_size=1, max_size=16), st.none() | st.integers(1, 6), st.randoms())
def test_families_of_prints_do_not_contradict_nor_hang_on_the_order(prints, number, shuffler):
    bundle = list(tell_families(tell_names(bundle_of(*prints)), number))
    for one in bundle:
        terms = terms_of(one.colour_name)
        if one.family == MULTICOLOURED:
            assert len(terms) > 1
        else:
            assert any(not contradicts(one.family, term) for term in terms), one
    shuffled = bundle.copy()
    shuffler.shuffle(shuffled)
    again = {one.label: one.family for one in tell_families(shuffled, number)}
    assert again == {one.label: one.family for one in bundle}


def test_a_fabric_between_blue_and_black_hangs_in_one_place():
    navy = swatches((12, 0, -7.5), (12, 0, -9), (11, 0, -8.5), (30, 40, 20), (60, 0, 0))
    one = [replace(square, fabric="F01") for square in navy[:3]]
    rest = [replace(square, fabric=f"F{n}") for n, square in enumerate(navy[3:], start=2)]
    ordered = [square.fabric for square in rainbow_order([*one, *rest])]
    assert ordered == ["F2", "F01", "F01", "F01", "F3"]


def test_prints_of_one_fabric_lie_in_one_family_though_each_alone_would_not():
    one = print_of((WHITE, 0.5), (RED, 0.26), (BLUE, 0.14), (GREEN, 0.1))
    other = print_of((WHITE, 0.5), (RED, 0.2), (BLUE, 0.2), (GREEN, 0.1))
    bundle = bundle_of(one, one, other)
    assert len(set(families(tell_families(bundle)))) == 2
    told = tell_families([replace(square, fabric="F01") for square in bundle])
    assert set(families(told)) == {"reds"}


def test_a_number_of_families_is_chosen_that_one_word_each_will_do_for():
    """Whites, greys and pale pinks lie near one another, and have no name in common."""
    pale = [(93, 0, 1), (92, 1, 1), (76, 0, 0), (77, 0, 1), (83, 9, 2), (84, 8, 2)]
    far = [(45, 55, 28), (46, 54, 27), (40, -45, 25), (41, -44, 24), (40, 5, -48), (41, 4, -47)]
    told = set(families(tell_families(swatches(*pale, *far))))
    assert {"reds", "greens", "blues"} < told
    assert not any(name == "mixed colours" or " and " in name for name in told)
