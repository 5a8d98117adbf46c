"""Text to tokens: numbers with all their fractions, units, words and marks, each with its place."""

from __future__ import annotations

import html
import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Final, Literal

from catalog.length_text import DASHES, LOWERED, PRIMES, RAISED, SLASHES
from catalog.lengths import CENTIMETRES_PER_INCH
from catalog.pattern.words.phrases.number_words import number_word_at, spoken_part
from catalog.pattern.words.phrases.trade_words import COLOURS
from catalog.pattern.words.phrases.word_sets import words_in

TokenKind = Literal["number", "unit", "times", "word", "mark", "newline", "quiet"]

INCH: Final = Fraction(1)
CENTIMETRE: Final = 1 / CENTIMETRES_PER_INCH
UNITS: Final[dict[str, Fraction]] = {
    **dict.fromkeys(('"', "''", "'", "in", "inch", "inches", "ins"), INCH),
    **dict.fromkeys(("cm", "cms", "centimetre", "centimetres"), CENTIMETRE),
    **dict.fromkeys(("centimeter", "centimeters"), CENTIMETRE),
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter"), CENTIMETRE / 10),
    **dict.fromkeys(("millimeters",), CENTIMETRE / 10),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), CENTIMETRE * 100),
    **dict.fromkeys(("yd", "yds", "yard", "yards"), Fraction(36)),
    **dict.fromkeys(("ft", "foot", "feet"), Fraction(12)),
}
"""Inches in each."""
NOT_AFTER_INCHES: Final = words_in(
    "half halves the each a an all total two this these those any that your both order pairs "
    "rows place quarters fourths thirds turn between which our one with sets number color colour"
)
"""Words before which "in" is the preposition: "cut 4 in half"."""
MISPELT: Final = {
    "".join(sorted(word)): word
    for word in (
        "square",
        "squares",
        "rectangle",
        "rectangles",
        "strips",
        "triangles",
        "diagonally",
    )
}
"""The trade's words by their letters, so that those that are swapped in typing do no harm."""
SHORT_WORDS: Final = words_in("pc pcs sq sqs rect rects approx ea incl qty dk lt med bkgd")
_SAME: Final = {
    **{ord("{"): "(", ord("}"): ")"},
    **DASHES,
    **PRIMES,
    **SLASHES,
    **dict.fromkeys(map(ord, "\u030b\u02ba\u02dd\u2036\u201e\u00a8"), '"'),
    **dict.fromkeys(map(ord, "\u00b4\u0060\u02b9\u2035"), "'"),
    **dict.fromkeys(map(ord, "\u00d7\u2715\u2716\u2a2f\u0445\u0425\u2573"), "x"),
    **dict.fromkeys(map(ord, "\u00a0\u2009\u202f\u2002\u2003\u2007\u2008\u200a\u3000"), " "),
}
_SIGNS: Final = "".join(
    sign
    for sign in map(chr, range(0xBC, 0x218A))
    if unicodedata.decomposition(sign).startswith("<fraction>") and sign != "\u215f"
)
_NUMBER: Final = re.compile(
    rf"""(?P<mixed>[0-9]+)[ ]?-?[ ]?(?P<sign>[{_SIGNS}])
    | (?P<alone>[{_SIGNS}])
    | (?:(?P<whole>[0-9]+)(?:[ ]?-[ ]?|[.]|[ ]+and[ ]+|[ ]*&[ ]*|[ ]{{1,2}}|(?=[⁰¹²³⁴⁵⁶⁷⁸⁹])))?
      (?P<top>[0-9]{{1,3}}|[⁰¹²³⁴⁵⁶⁷⁸⁹]+)[ ]?/[ ]?(?P<bottom>[0-9]{{1,2}}|[₀₁₂₃₄₅₆₇₈₉]+)(?![0-9/])
    | (?P<spoken>[0-9]+)[ ]and[ ](?:a[ ])?
      (?P<part>half|quarter|(?:one|three)[ -](?:quarters?|fourths?)
      |(?:one|three|five|seven)[ -]eighths?)\b
    | (?P<thousands>[0-9]{{1,3}}(?:,[0-9]{{3}})+)(?![0-9,])
    | (?P<decimal>[0-9]*[.,][0-9]+)(?![0-9]|[.,][0-9])
    | (?P<plain>[0-9]+)""",
    re.VERBOSE,
)
_UNIT: Final = re.compile(
    r"""(?P<sign>"|''|'(?!\w))
    | [ ]{1,2}(?P<far>"|'')(?=\s*(?:[x(,;.:)0-9]|\Z|\n))
    | [ ]{0,2}-?[ ]?(?P<word>[a-z]+)(?P<dot>\.(?=[ ]*[(,;:)]|[ ]*(?-i:[a-z])))?""",
    re.VERBOSE | re.IGNORECASE,
)
_WORD: Final = re.compile(r"[^\W\d_]+(?:['-][^\W\d_]+)*")
_LEADER: Final = re.compile(r"\.{2,}|\u2026+")
_QUIET: Final = frozenset("\"'~_\u00ab\u00bb")
"""Marks that say nothing where they aren't units."""
_TIMES_BEFORE: Final = re.compile(
    rf"[xX*](?=\s*(?:[0-9{_SIGNS}⁰¹²³⁴⁵⁶⁷⁸⁹.(]|wof|lof|w\.|width|full|the\b|fabric|length|selv))",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Token:
    """A word, number or sign."""

    kind: TokenKind
    text: str
    """In small letters, in ASCII where there is a sign for it."""
    start: int
    """Place of its first sign in the text."""
    end: int
    """One past its last."""
    value: Fraction = Fraction(0)
    """Of a number; of a unit the inches in it."""
    capital: bool = False
    """Whether it is written with a capital letter."""
    spelt: bool = False
    """Whether it is a number in words."""

    @property
    def whole(self) -> int | None:
        """The number, where it can count things."""
        number = self.value
        return int(number) if self.kind == "number" and number.denominator == 1 else None


def without_width(text: str) -> str:
    """Return text without the signs that have no width and come along when it is copied."""
    text = text.replace("\r\n", "\n").replace("\r", "\n").replace("\u2028", "\n")
    text = re.sub("\u00ad\n?", "", _without_marks(text))
    kept = (sign if sign in "\n\t" or sign.isprintable() or sign == "\u00a0" else
            (" " if unicodedata.category(sign) != "Cf" else "") for sign in text)  # fmt: skip
    return "".join(kept)


def _without_marks(text: str) -> str:
    """Return text without what web pages and plain text put round words: tags, stars, hashes."""
    if re.search(r"</?(?:p|li|br|td|tr|ul|div|b|span|strong)\b[^>\n]*>", text, re.IGNORECASE):
        text = re.sub(r"</(?:td|th)>\s*", " | ", text, flags=re.IGNORECASE)
        text = re.sub(r"</?(?:p|li|br|tr|h[1-6]|div)\b[^>\n]*>", "\n", text, flags=re.IGNORECASE)
        text = re.sub(r"</?[a-z][^>\n]{0,80}>", "", text, flags=re.IGNORECASE)
    text = html.unescape(text) if re.search(r"&#?\w{1,8};", text) else text
    return re.sub(r"\*\*|__|^[ \t]*#{1,6}[ \t]+", "", text, flags=re.MULTILINE)


def tokens_of(text: str, start: int = 0, end: int | None = None) -> list[Token]:
    """Return the tokens of a part of a text.

    Parameters
    ----------
    text : str
        As `without_width` returns it.
    start, end : int
        The part.
    """
    plain = _in_ascii(text)
    return list(_tokens(plain, start, len(plain) if end is None else end))


@lru_cache(maxsize=2)
def _in_ascii(text: str) -> str:
    """Return a text sign for sign in ASCII, where there is one for it; kept for its next line."""
    return text.translate(_SAME)


def _tokens(plain: str, at: int, end: int) -> Iterator[Token]:
    before: Token | None = None
    while at < end:
        if plain[at] in " \t":
            at += 1
            continue
        for token in _one(plain, at, end, before):
            if token.kind != "quiet":
                yield token
                before = token
            at = token.end


def _one(plain: str, at: int, end: int, before: Token | None) -> Iterator[Token]:
    """Yield the token at a place, with the unit that belongs to it."""
    if plain[at] == "\n":
        yield Token("newline", "\n", at, at + 1)
        return
    if number := _NUMBER.match(plain, at, end):
        token = _number(number)
        yield token
        yield from _unit(plain, token.end, end)
        return
    if before and before.kind in {"number", "unit", "mark"} and _TIMES_BEFORE.match(plain, at, end):
        yield Token("times", "x", at, at + 1)
        return
    if word := _WORD.match(plain, at, end):
        if spelt := number_word_at(plain, at, end):
            stop, value = spelt
            yield Token("number", plain[at:stop].lower(), at, stop, value, spelt=True)
            yield from _unit(plain, stop, end)
            return
        stop = word.end() + _is_short(plain, word)
        said = MISPELT.get("".join(sorted(word[0].lower())), word[0].lower())
        yield Token("word", said, at, stop, capital=word[0][0].isupper())
        return
    if leader := _LEADER.match(plain, at, end):
        yield Token("mark", ":", at, leader.end())
        return
    yield Token("mark" if plain[at] not in _QUIET else "quiet", plain[at], at, at + 1)


def _is_short(plain: str, word: re.Match[str]) -> bool:
    """Tell the point of "pcs. 5 in" from the end of a sentence."""
    rest = plain[word.end() : word.end() + 2]
    return word[0].lower() in SHORT_WORDS and rest[:1] == "." and rest[1:] not in {"", "\n"}


def _number(found: re.Match[str]) -> Token:
    if found["mixed"] or found["alone"]:
        sign = unicodedata.numeric(found["sign"] or found["alone"])
        value = int(found["mixed"] or 0) + Fraction(sign).limit_denominator(100)
    elif found["top"]:
        top, bottom = (int(found[part].translate(RAISED | LOWERED)) for part in ("top", "bottom"))
        value = int(found["whole"] or 0) + _fraction(top, bottom, alone=not found["whole"])
    elif found["spoken"]:
        value = int(found["spoken"]) + spoken_part(found["part"])
    elif found["thousands"]:
        value = Fraction(found["thousands"].replace(",", ""))
    else:
        value = Fraction((found["decimal"] or found["plain"]).replace(",", "."))
    return Token("number", found[0], found.start(), found.end(), value)


def _fraction(top: int, bottom: int, *, alone: bool) -> Fraction:
    """Return a fraction; "51/4", from which copying took the blank, is 5 1/4."""
    if not bottom:
        return Fraction(0)
    whole, rest = divmod(top, 10)
    if alone and top > bottom and bottom in {2, 4, 8} and 0 < rest < bottom and rest % 2:
        return whole + Fraction(rest, bottom)
    return Fraction(top, bottom)


def _unit(plain: str, at: int, end: int) -> Iterator[Token]:
    found = _UNIT.match(plain, at, end)
    if not found:
        return
    name = (found["sign"] or found["far"] or found["word"]).lower()
    if name not in UNITS or (name == "in" and not _is_inches(plain, found.end("word"), end)):
        return
    start = next(found.start(part) for part in ("sign", "far", "word") if found[part])
    yield Token("unit", name, start, found.end(), UNITS[name])


def _is_inches(plain: str, at: int, end: int) -> bool:
    """Tell whether the "in" that ends here is a unit and no preposition."""
    after = re.compile(r"[ ]*([a-z]+)", re.IGNORECASE).match(plain, at, end)
    return not (after and after[1].lower() in NOT_AFTER_INCHES | COLOURS)
