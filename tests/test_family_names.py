"""A family's name and the colour names of its squares never contradict each other."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_families import families, swatches

from catalog.bundle.families import tell_families
from catalog.bundle.family_names import Pile, names_of
from catalog.bundle.family_words import contradicts, family_word
from catalog.colour import colour_names, lab

HUED = {"pinks", "reds", "oranges", "browns", "tans", "creams", "yellows", "greens", "teals",
        "blues", "purples"}  # fmt: skip
RED_GREEN_BLUE = st.tuples(*[st.integers(0, 255)] * 3)


def lab_of(rgb):
    return tuple(map(float, lab.srgb8_to_lab(np.array(rgb, np.uint8))))


def with_names(bundle):
    """Return the family and the colour name of each square."""
    return zip(
        families(bundle), colour_names.name_colours([one.lab for one in bundle]), strict=True
    )


@pytest.mark.parametrize(
    ("family", "name"),
    [
        ("dark blues", "light blue"),
        ("darkest greens", "very pale green"),
        ("light greens", "very dark green"),
        ("lightest purples", "deep purple"),
        ("medium blues", "very dark blue"),
        ("tans", "medium gray"),
        ("light browns", "light gray"),
        ("greys", "pale blue"),
        ("blacks", "very dark green"),
        ("blacks", "light gray"),
        ("whites", "dark gray"),
        ("creams", "dark grayish yellow"),
        ("reds", "strong green"),
        ("blues", "moderate orange"),
        ("reds and oranges", "moderate blue"),
        ("greens", "dark olive brown"),
        ("pinks", "very pale purple"),
        ("purples", "grayish purplish pink"),
        ("purples", "dark purplish red"),
        ("greens", "dark greenish yellow"),
        ("teals", "light blue"),
        ("teals", "moderate green"),
        ("tans", "pinkish white"),
        ("greys", "black"),
        ("greys", "greenish black"),
        ("blues", "dark bluish gray"),
    ],
)
def test_what_contradicts(family, name):
    assert contradicts(family, name)


@pytest.mark.parametrize(
    ("family", "name"),
    [
        ("dark blues", "moderate blue"),
        ("darker blues", "light blue"),
        ("blues", "light blue"),
        ("blues 2", "very dark blue"),
        ("blues", "grayish purplish blue"),
        ("browns", "dark olive brown"),
        ("teals", "light greenish blue"),
        ("tans", "grayish yellow"),
        ("greys", "light bluish gray"),
        ("greys", "dark gray"),
        ("tans", "yellowish gray"),
        ("tans", "light grayish yellowish brown"),
        ("teals", "deep bluish green"),
        ("blacks", "blackish green"),
        ("whites", "pinkish white"),
        ("reds and oranges", "dark reddish orange"),
        ("greys and tans", "medium gray"),
        ("mixed colours", "vivid violet"),
    ],
)
def test_what_agrees(family, name):
    assert not contradicts(family, name)


def test_a_colour_by_itself_is_of_a_family_that_its_name_agrees_with():
    rng = np.random.default_rng(7)
    colours = lab.srgb8_to_lab(rng.integers(0, 256, (3000, 3), dtype=np.uint8))
    near_grey = colours * (1.0, 0.15, 0.15)
    for colour in (*colours, *near_grey):
        plain = tuple(map(float, colour))
        assert not contradicts(family_word(plain), colour_names.name_colours([plain])[0]), plain


def agree(bundle, number):
    told = tell_families(bundle, number)
    for family, name in with_names(told):
        words, said = set(family.split()), set(name.split())
        assert not contradicts(family, name), (family, name)
        assert not (words & {"dark", "darkest"} and said & {"light", "pale"}), (family, name)
        assert not (words & {"light", "lightest"} and said & {"dark", "deep"}), (family, name)
        assert not (family in HUED and name in colour_names.NEUTRALS), (family, name)
    if number is not None:
        asked = min(number, len({one.lab for one in bundle}))
        assert len(set(families(told))) == asked
    return told


def some_bundles(most):
    return settings(deadline=None, max_examples=most)(
        given(
            st.lists(RED_GREEN_BLUE, min_size=1, max_size=30),
            st.sampled_from([1.0, 0.4, 0.1]),
            st.none() | st.integers(1, 14),
        )(check)
    )


def check(colours, muted, number):
    drawn = np.array([lab_of(one) for one in colours]) * (1.0, muted, muted)
    agree(swatches(*drawn), number)


test_names_agree_in_any_bundle = some_bundles(300)
test_names_agree_in_thousands_of_bundles = pytest.mark.slow(some_bundles(3000))


def test_names_agree_in_bundles_as_they_are_sold():
    """Tonal bundles: several depths of a few hues, some greys and tans among them."""
    rng = np.random.default_rng(3)
    for _ in range(60):
        hues, depths = rng.uniform(0, 360, rng.integers(1, 5)), rng.uniform(15, 92, 8)
        colours = [
            (depth, chroma * np.cos(np.radians(hue)), chroma * np.sin(np.radians(hue)))
            for hue in hues
            for depth in depths
            for chroma in [rng.uniform(1, 40) * min(depth, 110 - depth) / 50]
        ]
        for number in (None, 3):
            agree(swatches(*colours), number)


def test_a_light_blue_goes_to_the_light_ones():
    dark = [(30 + n, 0, -35) for n in range(6)]
    light = [(75 + n, -2, -22) for n in range(6)]
    told = families(agree(swatches(*dark, *light, (66, -4, -26)), 2))
    assert told == ["dark blues"] * 6 + ["light blues"] * 7


def test_a_medium_grey_is_none_of_the_tans():
    tans = [(62 + n, 3, 14 + n % 3) for n in range(8)]
    reds = [(42 + n, 50, 28) for n in range(6)]
    told = families(agree(swatches(*tans, *reds, (60, 0.3, 0.8)), None))
    assert told == ["tans"] * 8 + ["reds"] * 6 + ["greys"]


def test_depths_that_would_not_be_true_are_compared():
    light = "light blue"
    piles = [Pile((lightness, 0, -25), (light,) * 3, ("blues",) * 3) for lightness in (70, 80)]
    assert names_of(piles) == ["darker blues", "lighter blues"]
    three = [*piles, Pile((90, 0, -20), (light,), ("blues",))]
    assert names_of(three) == ["blues 1", "blues 2", "blues 3"]


def test_a_family_of_several_hues_is_called_by_them():
    colours = [(45, 50, 30), (50, -45, 30), (46, 51, 29)]
    assert set(families(tell_families(swatches(*colours), 1))) == {"reds and greens"}
    everything = [lab_of(one) for one in ((200, 0, 0), (0, 90, 0), (0, 0, 200), (240, 220, 0))]
    assert set(families(tell_families(swatches(*everything), 1))) == {"mixed colours"}


def test_names_are_ranked_from_dark_to_light():
    greens = [(lightness, -35, 20) for lightness in (25, 45, 70, 88)]
    told = families(tell_families(swatches(*greens), 4))
    assert told == ["darkest greens", "dark greens", "light greens", "lightest greens"]
