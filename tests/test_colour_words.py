"""Colours said in words."""

import numpy as np
import pytest

from catalog.colour import colour_words, lab
from catalog.colour.ciede2000 import ciede2000
from catalog.colour.colour_names import published
from catalog.colour.colour_words import (
    EVERYDAY,
    HUE_SHARE,
    MODIFIERS,
    PLAIN,
    colour_of_hex,
    colour_of_words,
)
from catalog.errors import UsageError

SURVEYED = {
    "dusty teal": "#4c9085", "dark teal": "#014d4e", "light teal": "#90e4c1",
    "dusty rose": "#c0737a", "dark rose": "#b5485d", "pale rose": "#fdc1c5",
    "dark olive": "#373e02", "light olive": "#acbf69", "pale olive": "#b9cc81",
    "dark sage": "#598556", "light sage": "#bcecac", "dark mauve": "#874c62",
    "light mauve": "#c292a1", "pale mauve": "#fed0fc", "dark lavender": "#856798",
    "dusty lavender": "#ac86a8", "pale lavender": "#eecffe", "dark coral": "#cf524e",
    "dark salmon": "#c85a53", "pale salmon": "#ffb19a", "light salmon": "#fea993",
    "dark peach": "#de7e5d", "light peach": "#ffd8b1", "pale peach": "#ffe5ad",
    "dark turquoise": "#045c5a", "light turquoise": "#7ef4cc", "dark maroon": "#3c0008",
    "light plum": "#9d5783", "dark plum": "#3f012c", "dark mustard": "#a88905",
    "light mustard": "#f7d560", "dark periwinkle": "#665fd1", "dark tan": "#af884a",
    "dull teal": "#5f9e8f", "pale teal": "#82cbb2", "dark forest green": "#002d04",
    "light forest green": "#4f9153", "dark lilac": "#9c6da5", "pale lilac": "#e4cbff",
    "dark beige": "#ac9362",
}  # fmt: skip
"""What people named on their screens with two words: the survey that ``names/everyday.csv`` is of,
whose single words are all that our answers come from."""


LEANING = {
    "yellowish tan": "#fcfc81", "pinkish tan": "#d99b82", "greenish beige": "#c9d179",
    "greenish tan": "#bccb7a", "greenish teal": "#32bf84", "greenish turquoise": "#00fbb0",
    "purplish brown": "#6b4247", "yellowish orange": "#ffab0f", "pinkish orange": "#ff724c",
    "orangish red": "#f43605", "orangish brown": "#b25f03", "purplish red": "#b0054b",
    "brownish purple": "#76424e", "pinkish brown": "#b17261",
}  # fmt: skip
"""Hues before hues in the same survey, which are no names of the NBS system."""


def rgb(digits):
    return np.array([int(digits[n : n + 2], 16) for n in (1, 3, 5)], np.uint8)


def blocks():
    return {row["name"]: [float(row[axis]) for axis in "Lab"] for row in published("iscc_nbs.csv")}


def test_every_name_of_the_nbs_system_is_its_block():
    for name, middle in blocks().items():
        assert colour_of_words(name).lab == pytest.approx(middle), name


def test_modifiers_are_what_the_nbs_blocks_show():
    found = blocks()
    for modifier, told in MODIFIERS.items():
        if modifier == "moderate":
            continue
        factors = []
        for name, (lightness, a, b) in found.items():
            other = found.get(f"{modifier} {name.removeprefix('moderate ')}")
            if name.startswith("moderate ") and other:
                factors.append(
                    (
                        other[0] / lightness,
                        (100 - other[0]) / (100 - lightness),
                        np.hypot(*other[1:]) / np.hypot(a, b),
                    )
                )
        assert np.median(factors, axis=0) == pytest.approx(told, abs=0.01), modifier


def test_words_together_come_near_what_people_mean_by_them():
    away = [
        float(ciede2000(colour_of_words(words).lab, lab.srgb8_to_lab(rgb(digits))))
        for words, digits in SURVEYED.items()
    ]
    bare = [
        float(
            ciede2000(colour_of_words(words.partition(" ")[2]).lab, lab.srgb8_to_lab(rgb(digits)))
        )
        for words, digits in SURVEYED.items()
    ]
    assert np.median(away) < 8.5
    assert np.median(away) < 0.6 * np.median(bare)


def test_a_hue_before_another_draws_it_as_far_as_people_mean(monkeypatch):
    def away(share):
        monkeypatch.setattr(colour_words, "HUE_SHARE", share)
        return np.mean(
            [
                float(ciede2000(colour_of_words(words).lab, lab.srgb8_to_lab(rgb(digits))))
                for words, digits in LEANING.items()
            ]
        )

    told = away(HUE_SHARE)
    assert told < 0.75 * away(0.0)
    assert told < min(away(share) for share in np.arange(0.0, 0.8, 0.1)) + 0.2


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Dusty  TEAL", "dusty teal"),
        ("light grey", "light gray"),
        ("greyish blue", "grayish blue"),
        ("blue-green", "blue green"),
        ("navy", "navy blue"),
        ("off-white", "off white"),
        ("a shade of teal", "teal"),
        ("dusty pink", "grayish pink"),
        ("medium purple", "moderate purple"),
        ("rusty red", "rust red"),
        ("terra cotta", "terracotta"),
        ("dusty rose-coloured", "dusty rose"),
    ],
)
def test_ways_to_say_the_same(one, other):
    assert colour_of_words(one).lab == pytest.approx(colour_of_words(other).lab)


@pytest.mark.parametrize("modifier", [*EVERYDAY, *MODIFIERS])
def test_every_modifier_goes_with_every_hue(modifier):
    for word in (*PLAIN, "teal", "rose", "mustard", "sage"):
        lightness, _, _ = colour_of_words(f"{modifier} {word}").lab
        assert 0 <= lightness <= 100


def test_modifiers_do_what_they_say():
    plain, dark, light = (colour_of_words(f"{w}sage").lab for w in ("", "dark ", "light "))
    assert dark[0] < plain[0] < light[0]
    dusty, vivid = (float(lab.chroma(colour_of_words(f"{w} sage").lab)) for w in ("dusty", "vivid"))
    assert dusty < float(lab.chroma(plain)) < vivid
    assert colour_of_words("very dark sage").lab[0] < dark[0]


def test_a_hue_before_another_draws_it_towards_itself():
    leaning = colour_of_words("reddish mustard").lab
    for other in ("mustard", "red"):
        assert ciede2000(leaning, colour_of_words(other).lab) < ciede2000(
            colour_of_words("mustard").lab, colour_of_words("red").lab
        )


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("dusty teel", "perhaps you mean steel or teal"),
        ("quick blue", "'quick' in 'quick blue'"),
        ("", "is no colour"),
        ("dusty", "'dusty' is no colour"),
        ("99", "is no colour"),
    ],
)
def test_what_is_no_colour_is_said_so(text, said):
    with pytest.raises(UsageError) as error:
        colour_of_words(text)
    assert said in str(error.value)


@pytest.mark.parametrize(
    ("text", "digits"),
    [("#4F7f86", "#4f7f86"), ("4f7f86", "#4f7f86"), ("#abc", "#aabbcc"), (" #000 ", "#000000")],
)
def test_hexadecimal(text, digits):
    found = colour_of_hex(text)
    assert lab.lab_to_hex(found.lab) == found.words == digits


@pytest.mark.parametrize("text", ["facade", "#12345", "beef", "teal", "#ggg", "12345678"])
def test_no_hexadecimal(text):
    assert colour_of_hex(text) is None
