"""Numbers written in words: ``twenty-four``, ``two and a half``, ``seven-eighths``."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

from catalog.pattern.words.phrases.word_sets import spaced

_SMALL: Final = spaced(
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen "
    "fifteen sixteen seventeen eighteen nineteen"
)
_TENS: Final = spaced("twenty thirty forty fifty sixty seventy eighty ninety")
WHOLE: Final = {
    **{word: number for number, word in enumerate(_SMALL)},
    **{word: 20 + 10 * place for place, word in enumerate(_TENS)},
    "fourty": 40,
    "dozen": 12,
    "single": 1,
    "score": 20,
}
_LARGER: Final = {"dozen": 12, "hundred": 100}
PARTS: Final = {
    **dict.fromkeys(("half", "halves"), 2),
    **dict.fromkeys(("third", "thirds"), 3),
    **dict.fromkeys(("quarter", "quarters", "fourth", "fourths"), 4),
    **dict.fromkeys(("eighth", "eighths"), 8),
    **dict.fromkeys(("sixteenth", "sixteenths"), 16),
}
_NEXT: Final = re.compile(r"(?:[ ]*-[ ]*|\s+)([a-z]+)", re.IGNORECASE)
_HALF_DOZEN: Final = re.compile(r"half[ ]+a[ ]+dozen", re.IGNORECASE)
_PAIR: Final = re.compile(r"a[ ]+(?:pair|couple)[ ]+of(?=[ ])", re.IGNORECASE)
_FIRST: Final = re.compile(r"[a-z]+", re.IGNORECASE)


def number_word_at(text: str, at: int, end: int) -> tuple[int, Fraction] | None:
    """Read a number in words.

    Parameters
    ----------
    text : str
    at, end : int
        Where its first word begins, and where the text to be read ends.

    Returns
    -------
    tuple or None
        One past its last letter, and its value; None where no number begins here. A part alone
        ("half") is none.
    """
    if pair := _PAIR.match(text, at, end):
        return pair.end(), Fraction(2)
    if dozen := _HALF_DOZEN.match(text, at, end):
        return dozen.end(), Fraction(6)
    found = _FIRST.match(text, at, end)
    if not found or found[0].lower() not in WHOLE:
        return None
    number, stop = WHOLE[found[0].lower()], found.end()
    while following := _NEXT.match(text, stop, end):
        word = following[1].lower()
        if word in _LARGER:
            number *= _LARGER[word]
        elif (
            word == "and" and not number % 100 and number and _small_at(text, following.end(), end)
        ):
            stop = following.end()
            continue
        elif (number % 100 == 0 and number and word in WHOLE) or (
            20 <= number % 100 < 100 and not number % 10 and 0 < WHOLE.get(word, 0) < 10
        ):
            number += WHOLE[word]
        else:
            break
        stop = following.end()
    return _with_part(text, stop, end, number)


def spoken_part(words: str) -> Fraction:
    """Return the value of "half", "three quarters", "seven-eighths"."""
    *top, bottom = words.lower().replace("-", " ").split()
    return Fraction(WHOLE[top[0]] if top else 1, PARTS[bottom])


def _small_at(text: str, at: int, end: int) -> bool:
    """Tell whether a number below a hundred goes on here: "one hundred and ninety"."""
    following = _NEXT.match(text, at, end)
    after = following and _NEXT.match(text, following.end(), end)
    part = after is not None and after[1].lower() in PARTS
    return following is not None and following[1].lower() in WHOLE and not part


def _with_part(text: str, stop: int, end: int, number: int) -> tuple[int, Fraction]:
    """Add the part of one that follows: "and a half", "and seven eighths"; or take one of parts."""
    following = _NEXT.match(text, stop, end)
    word = following[1].lower() if following else ""
    if following and word in PARTS and _is_part(text, following, end):
        return following.end(), Fraction(number, PARTS[word])
    if following and word == "and" and (second := _NEXT.match(text, following.end(), end)):
        third = _NEXT.match(text, second.end(), end)
        tops = WHOLE | {"a": 1, "an": 1}
        top = tops.get(second[1].lower())
        if third and top and third[1].lower() in PARTS:
            return third.end(), number + Fraction(top, PARTS[third[1].lower()])
    return stop, Fraction(number)


def _is_part(text: str, found: re.Match[str], end: int) -> bool:
    """Tell "seven eighths inches" from "four quarter-square triangles"."""
    following = _NEXT.match(text, found.end(), end)
    return not (following and following[1].lower().startswith(("square", "triangle", "rect")))
