"""A colour as a person says it, in everyday words or as ``#4f7f86``, to CIELAB."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np

from catalog.colour import lab
from catalog.colour.colour_names import published
from catalog.errors import UsageError
from catalog.models import Lab

MODIFIERS: Final = {
    "very pale": (1.97, 0.27, 0.42),
    "pale": (1.33, 0.50, 0.46),
    "very light": (1.87, 0.31, 1.02),
    "light": (1.44, 0.60, 1.03),
    "light grayish": (1.50, 0.68, 0.43),
    "moderate": (1.0, 1.0, 1.0),
    "grayish": (1.0, 1.0, 0.50),
    "brilliant": (1.46, 0.57, 1.51),
    "strong": (1.0, 1.0, 1.55),
    "vivid": (1.0, 1.0, 2.59),
    "deep": (0.63, 1.37, 1.49),
    "very deep": (0.29, 1.60, 1.54),
    "dark": (0.59, 1.34, 0.88),
    "dark grayish": (0.59, 1.31, 0.33),
    "very dark": (0.27, 1.62, 0.88),
    "blackish": (0.25, 1.64, 0.24),
}
"""What a modifier of the ISCC-NBS system (NBS Special Publication 440) does to a colour: factors of
L*, of 100 - L* and of C*ab. Medians over the hues of ``names/iscc_nbs.csv`` that have a block with
this modifier, against their ``moderate`` block."""

EVERYDAY: Final = {
    "bright": "strong",
    "clear": "strong",
    "dim": "dark grayish",
    "dirty": "dark grayish",
    "dull": "grayish",
    "dusky": "grayish",
    "dusty": "grayish",
    "faded": "grayish",
    "intense": "vivid",
    "medium": "moderate",
    "mid": "moderate",
    "misty": "light grayish",
    "muted": "grayish",
    "pastel": "pale",
    "powdery": "pale",
    "rich": "deep",
    "smoky": "dark grayish",
    "soft": "light",
    "washed out": "pale",
}
"""Modifiers of everyday speech and what they come to in NBS SP 440's (common practice; against the
survey of ``names/everyday.csv`` they lie in the median 8 off where the bare word is 14 off)."""

PLAIN: Final = {
    "pink": "moderate pink",
    "red": "strong red",
    "orange": "strong orange",
    "peach orange": "light orange",
    "brown": "moderate brown",
    "yellow": "strong yellow",
    "olive": "moderate olive",
    "yellow green": "strong yellow green",
    "olive green": "moderate olive green",
    "green": "strong green",
    "blue green": "strong bluish green",
    "blue": "strong blue",
    "violet": "strong violet",
    "purple": "strong purple",
    "gray": "medium gray",
    "white": "white",
    "black": "black",
    "red brown": "moderate reddish brown",
    "yellow brown": "moderate yellowish brown",
    "red purple": "strong reddish purple",
}
"""The block of NBS SP 440 that a plain hue stands for: cloth is seldom vivid (common practice)."""

MAX_MODIFIED_CHROMA: Final = 75.0
"""C*ab to which a modifier may raise a colour: the ``strong`` blocks of NBS SP 440 end there."""
HUE_SHARE: Final = 1 / 3
"""How far a hue word that stands before another draws it towards itself. A third to a half bring us
nearest to 14 such names of the survey of ``names/everyday.csv``: 11.5 off on average, 16 without
(``tests/test_colour_words.py``)."""

_SPELLINGS: Final = (
    (r"\bgrey", "gray"),
    (r"\bnavy\b(?! blue)", "navy blue"),
    (r"\b(colou?r(ed)?|ish|tone|shade of|a|an|the|of)\b", " "),
    (r"\boff[ -]?white\b", "off white"),
    (r"\bterra[ -]?cotta\b", "terracotta"),
    (r"\bvermilion\b", "vermillion"),
    (r"\bsoft(ly)?\b", "soft"),
)
_ADJECTIVES: Final = {
    "reddish": "red", "pinkish": "pink", "orangish": "orange", "brownish": "brown",
    "yellowish": "yellow", "greenish": "green", "bluish": "blue", "purplish": "purple",
    "violetish": "violet", "greyish": "gray", "tealish": "teal", "golden": "gold",
}  # fmt: skip


@dataclass(frozen=True)
class NamedColour:
    """A colour that somebody asked for."""

    lab: Lab
    words: str
    """What it was taken for."""


def colour_of_words(text: str) -> NamedColour:
    """Return the colour that everyday words mean, such as ``dusty teal``.

    Parameters
    ----------
    text : str
        A name of the ISCC-NBS system, or a hue with modifiers before it, in any case and either
        spelling of grey.

    Raises
    ------
    UsageError
        A word is no colour; names those that come nearest.
    """
    said = _tidy(text)
    names = _vocabulary()
    if said in names:
        return NamedColour(names[said], said)
    words = said.split()
    strange = words[-1] if words else text.strip()
    for start in reversed(range(len(words))):
        noun = " ".join(words[start:])
        if noun not in names:
            continue
        colour = _modified(names[noun], noun, words[:start])
        if isinstance(colour, str):
            strange = colour
        else:
            return NamedColour(colour, said)
    raise _unknown(strange, text)


def colour_of_hex(text: str) -> NamedColour | None:
    """Return the colour of ``#4f7f86`` or ``#abc``; None where the text isn't meant as one."""
    found = re.fullmatch(r"#?([0-9a-f]{6})|#([0-9a-f]{3})", text.strip().lower())
    if found is None or (not text.strip().startswith("#") and text.strip().isalpha()):
        return None
    digits = found[1] or "".join(2 * digit for digit in found[2])
    red, green, blue = (int(digits[place : place + 2], 16) for place in (0, 2, 4))
    return NamedColour(
        _plain(lab.srgb8_to_lab(np.array([red, green, blue], np.uint8))), f"#{digits}"
    )


def _modified(colour: Lab, noun: str, before: Sequence[str]) -> Lab | str:
    """Apply the words before a hue, nearest first; gives a word back that means nothing."""
    names = _vocabulary()
    said = noun
    rest = list(before)
    while rest:
        one = rest.pop()
        if rest and (two := f"{rest[-1]} {one}") in {*MODIFIERS, *EVERYDAY}:
            one = two
            rest.pop()
        modifier, hue = EVERYDAY.get(one, one), _adjective(one)
        said, named = f"{modifier} {said}", f"{hue} {said}"
        if said in names or named in names:
            colour = names.get(said) or names[named]
        elif modifier in MODIFIERS:
            colour = _shifted(colour, modifier)
        elif hue in names:
            mixed = (1 - HUE_SHARE) * np.array(colour) + HUE_SHARE * np.array(names[hue])
            colour = _plain(mixed)
        else:
            return one
    return colour


def _shifted(colour: Lab, modifier: str) -> Lab:
    light, away, strength = MODIFIERS[modifier]
    lightness, a, b = colour
    lightness = lightness * light if light < 1 else 100 - (100 - lightness) * away
    chroma = float(np.hypot(a, b))
    factor = min(strength, max(1.0, MAX_MODIFIED_CHROMA / chroma)) if chroma else 1.0
    return float(lightness), a * factor, b * factor


@cache
def _vocabulary() -> dict[str, Lab]:
    """Return all names and their colours; the plain hues and NBS's own names come first."""
    names = {
        _tidy(row["name"]): _plain(lab.srgb8_to_lab(_bytes(row["hex"])))
        for row in published("everyday.csv")
    }
    blocks = {
        row["name"]: (float(row["L"]), float(row["a"]), float(row["b"]))
        for row in published("iscc_nbs.csv")
    }
    return names | {plain: blocks[block] for plain, block in PLAIN.items()} | blocks


def _tidy(text: str) -> str:
    said = re.sub(r"[\s,\-–/]+", " ", text.lower().replace("’", "'")).strip()  # noqa: RUF001
    for pattern, plain in _SPELLINGS:
        said = re.sub(pattern, plain, said)
    return " ".join(said.split())


def _adjective(word: str) -> str:
    """Return the noun that an adjective comes from, such as ``rust`` for ``rusty``."""
    names = _vocabulary()
    if word in names or word in EVERYDAY or word in MODIFIERS:
        return word
    stem = word.removesuffix("y")
    nouns = (one for one in (stem, f"{stem}e") if word.endswith("y") and one in names)
    return _ADJECTIVES.get(word) or next(nouns, word)


def _unknown(word: str, text: str) -> UsageError:
    import difflib

    known = [*_vocabulary(), *MODIFIERS, *EVERYDAY]
    near = difflib.get_close_matches(word, known, 3, 0.6)
    perhaps = f"perhaps you mean {' or '.join(near)}" if near else "say it as in dusty teal"
    return UsageError(
        f"'{word}' in '{text.strip()}' is no colour that calicount knows"
        if word != text.strip()
        else f"'{word}' is no colour that calicount knows",
        f"{perhaps}, or give it as #4f7f86 or 5R 3/2, or name a square as NAME:R3C2",
    )


def _bytes(digits: str) -> np.ndarray[tuple[int], np.dtype[np.uint8]]:
    return np.array([int(digits[place : place + 2], 16) for place in (1, 3, 5)], np.uint8)


def _plain(colour: np.ndarray[tuple[int], np.dtype[np.float64]]) -> Lab:
    lightness, a, b = (float(value) for value in colour)
    return lightness, a, b
