"""Families as a person would make them; names; rainbow order."""

import random
import warnings

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.bundle.families import rainbow_order, tell_families
from catalog.bundle.family_words import family_word
from catalog.models import Square, Swatch

PLACE = Square(((0, 0), (1, 0), (1, 1), (0, 1)), None, None, 5.0, 5.0, 1.0)


def swatches(*colours):
    return [
        Swatch(f"S{n:03d}", "p", PLACE, tuple(map(float, c)), "plain", 0.0)
        for n, c in enumerate(colours, start=1)
    ]


def of_hue(lightness, chroma, hue):
    angle = np.radians(hue)
    return lightness, chroma * np.cos(angle), chroma * np.sin(angle)


def families(told):
    return [s.family for s in told]


@pytest.fixture(scope="module")
def munsell():
    """CIELAB D65 of Munsell colours, from the renotation that colour-science carries."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

    white = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]
    c, d65 = white["C"], white["D65"]

    def to_lab(name):
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            xyz = colour.xyY_to_XYZ(colour.munsell_colour_to_xyY(name))
            xyz = colour.chromatic_adaptation(xyz, colour.xy_to_XYZ(c), colour.xy_to_XYZ(d65))
            return tuple(float(x) for x in colour.XYZ_to_Lab(xyz, d65))

    return to_lab


@pytest.fixture(scope="module")
def chips():
    """Real chips of the renotation, values 3 to 8, chroma 4 and more: hue to CIELAB D65.

    Newhall, Nickerson and Judd 1943, in colour-science as "Munsell Colours Real".
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

        white = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]
        c, d65 = (colour.xy_to_XYZ(white[name]) for name in ("C", "D65"))
        told = {}
        for (hue, value, chroma), place in colour.MUNSELL_COLOURS["Munsell Colours Real"]:
            if 3 <= value <= 8 and chroma >= 4:
                xyz = colour.xyY_to_XYZ(np.array(place) * (1.0, 1.0, 0.01))
                there = colour.adaptation.chromatic_adaptation_VonKries(
                    xyz, c, d65, transform="Bradford"
                )
                one = colour.XYZ_to_Lab(there, white["D65"])
                told.setdefault(hue, []).append((value, tuple(float(x) for x in one)))
    return told


@pytest.mark.parametrize(
    ("hue", "right", "beside"),
    [
        ("5R", {"reds", "pinks"}, set()),
        ("5YR", {"oranges", "browns", "tans", "creams"}, set()),
        ("5Y", {"yellows"}, {"tans", "creams", "browns"}),
        ("5GY", {"greens"}, {"yellows"}),
        ("5G", {"greens"}, {"teals"}),
        ("5BG", {"teals"}, {"greens", "blues"}),
        ("5B", {"blues"}, {"teals"}),
        ("5PB", {"blues"}, set()),
        ("5P", {"purples"}, set()),
        ("5RP", {"pinks", "reds"}, {"purples"}),
    ],
)
def test_every_chip_of_a_munsell_page_falls_in_its_family(chips, hue, right, beside):
    """Or beside it in the order of hues; nine in ten in the family itself."""
    told = [family_word(one) for _, one in chips[hue]]
    assert len(told) > 30
    assert set(told) <= right | beside
    assert sum(word in right for word in told) >= 0.9 * len(told)


def test_blue_ends_where_nbs_names_end_it(chips):
    """NBS SP 440: Munsell 7.5PB is blue, 10PB violet; a few near the border are named otherwise."""
    for hue, family in (("7.5PB", "blues"), ("10PB", "purples")):
        told = [family_word(one) for _, one in chips[hue]]
        assert set(told) <= {"blues", "purples"}
        assert told.count(family) >= 0.8 * len(told), (hue, told.count(family), len(told))


def test_wine_is_red_and_pale_red_pink(chips):
    """NBS SP 440: deep purplish reds and light purplish pinks of one hue."""
    for hue in ("7.5RP", "10RP"):
        words = {value: family_word(one) for value, one in chips[hue]}
        assert words[3] == "reds"
        assert words[8] == "pinks"


@pytest.mark.parametrize(
    ("name", "family"),
    [
        ("5R 4/10", "reds"),
        ("5R 8/6", "pinks"),
        ("5YR 7/10", "oranges"),
        ("5YR 4/4", "browns"),
        ("5Y 8/8", "yellows"),
        ("5GY 6/6", "greens"),
        ("5G 5/6", "greens"),
        ("5BG 5/6", "teals"),
        ("5B 5/6", "blues"),
        ("5PB 4/8", "blues"),
        ("5P 4/8", "purples"),
        ("5RP 6/8", "pinks"),
        ("10YR 9/2", "creams"),
        ("10YR 7/3", "tans"),
        ("N9", "whites"),
        ("N5", "greys"),
        ("N2", "blacks"),
    ],
)
def test_the_middle_of_a_munsell_hue_has_its_name(munsell, name, family):
    assert families(tell_families(swatches(munsell(name)))) == [family]


def test_munsell_pages_come_out_as_families(munsell):
    """A page of one hue stays together, whatever the value; the hues keep apart."""
    pages = {h: [f"{h} {v}/8" for v in (5, 6, 7)] for h in ("5R", "5Y", "5G", "5PB", "5P")}
    colours = [munsell(chip) for page in pages.values() for chip in page]
    told = families(tell_families(swatches(*colours), number=5))
    assert [len(set(told[n : n + 3])) for n in range(0, 15, 3)] == [1] * 5
    assert len(set(told)) == 5


def test_the_number_comes_from_the_colours():
    rng = np.random.default_rng(1)
    hues = (25, 90, 145, 260)
    colours = [
        of_hue(55 + rng.normal(0, 3), 45, h + rng.normal(0, 4)) for h in hues for _ in range(6)
    ]
    told = families(tell_families(swatches(*colours)))
    assert len(set(told)) == 4
    assert [len(set(told[n : n + 6])) for n in range(0, 24, 6)] == [1] * 4


def test_no_family_spans_the_wheel():
    colours = [of_hue(55, 50, hue) for hue in range(0, 360, 10)]
    told = tell_families(swatches(*colours))
    for family in set(families(told)):
        hues = sorted(n * 10 for n, s in enumerate(told) if s.family == family)
        gaps = np.diff([*hues, hues[0] + 360])
        assert 360 - gaps.max() <= 80


def test_two_families_of_one_hue_are_told_by_lightness():
    dark = [of_hue(28 + n, 30, 145 + n) for n in range(5)]
    light = [of_hue(80 + n, 30, 145 + n) for n in range(5)]
    told = families(tell_families(swatches(*dark, *light), number=2))
    assert told == ["dark greens"] * 5 + ["light greens"] * 5


def test_as_many_families_as_asked_for_each_named_once():
    colours = [of_hue(40 + n, 40, 29 * n) for n in range(14)]
    for number in (1, 2, 7, 14, 20):
        assert len(set(families(tell_families(swatches(*colours), number)))) == min(number, 14)


@settings(deadline=None, max_examples=30)
@given(
    st.lists(
        st.tuples(st.integers(5, 95), st.integers(-60, 60), st.integers(-60, 60)),
        min_size=1,
        max_size=25,
    ),
    st.randoms(),
)
def test_families_do_not_hang_on_the_order(colours, shuffler):
    bundle = swatches(*colours)
    told = {s.label: s.family for s in tell_families(bundle)}
    shuffled = bundle.copy()
    shuffler.shuffle(shuffled)
    assert {s.label: s.family for s in tell_families(shuffled)} == told
    assert all(told.values())


def test_squares_of_one_colour_are_one_family():
    assert len(set(families(tell_families(swatches(*[(50, 40, 20)] * 5))))) == 1
    assert tell_families(()) == ()


def test_rainbow_runs_from_red_to_violet_then_neutrals_from_light_to_dark():
    hues = {"red": 25, "orange": 60, "yellow": 95, "green": 145, "blue": 260, "violet": 315}
    colours = [of_hue(55, 45, hue) for hue in hues.values()]
    colours += [(90, 0, 1), (50, 1, 0), (10, 0, 0)]
    bundle = swatches(*colours)
    shuffled = bundle.copy()
    random.Random(7).shuffle(shuffled)
    assert [s.label for s in rainbow_order(shuffled)] == [s.label for s in bundle]
