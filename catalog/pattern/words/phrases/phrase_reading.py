"""Tokens to phrases: at each place the first production that fits."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from catalog.pattern.words.phrases.cloth_phrases import cloth_at, name_at, per_cloth_at
from catalog.pattern.words.phrases.cut_phrases import (
    across_at,
    diagonal_at,
    each_at,
    shape_at,
    times_at,
    verb_at,
)
from catalog.pattern.words.phrases.phrase_values import Phrase, kind_at, mark_at, skip, word_at
from catalog.pattern.words.phrases.size_phrases import INCH, amount_at, count_at, side_at, size_at
from catalog.pattern.words.phrases.trade_words import ARTICLES, FUNCTION, PRONOUNS, SHAPES
from catalog.pattern.words.phrases.word_sets import words_in
from catalog.pattern.words.phrases.word_tokens import Token

Production = Callable[[Sequence[Token], int], Phrase | None]
BEFORE_NUMBERS: Final[tuple[Production, ...]] = (across_at, times_at, diagonal_at)
AFTER_NUMBERS: Final[tuple[Production, ...]] = (
    each_at,
    per_cloth_at,
    cloth_at,
    verb_at,
    shape_at,
)
WHAT_IS_CUT: Final = PRONOUNS | ARTICLES | {"again", "down", "further", "of"}
CUT_AGAIN: Final = words_in("cut recut subcut crosscut sub-cut cross-cut divide split slice")
STOPS: Final = ".,;:()[]-=|!?/+\u2192>*\u2020"


@dataclass(frozen=True)
class Grammar:
    """What hangs on the text as a whole."""

    unit: Fraction
    """Inches in the unit of numbers that have none."""
    materials: bool = False
    """Whether cloth is being listed, so that centimetres may be lengths of it."""

    def phrases(self, tokens: Sequence[Token], at: int = 0) -> list[Phrase]:
        """Return the phrases of a line, from a token on."""
        phrases: list[Phrase] = []
        while at < len(tokens):
            phrase = self._at(tokens, at)
            phrases.append(replace(phrase, last=min(phrase.last, len(tokens))))
            at = max(phrase.last, at + 1)
        return phrases

    def _at(self, tokens: Sequence[Token], at: int) -> Phrase:
        for production in (
            *BEFORE_NUMBERS,
            self._number,
            _recut_at,
            _cloth_into_at,
            _one_at,
            *AFTER_NUMBERS,
        ):
            if phrase := production(tokens, at):
                return phrase
        if mark_at(tokens, at, STOPS):
            return Phrase("stop", at, at + 1, words=tokens[at].text)
        return Phrase("word", at, at + 1, words=tokens[at].text)

    def _number(self, tokens: Sequence[Token], at: int) -> Phrase | None:
        amount = amount_at(tokens, at, materials=self.materials)
        if found := amount or size_at(tokens, at, self.unit):
            return found
        count = count_at(tokens, at)
        if count and word_at(tokens, count.last) in {"block", "blocks"}:
            return Phrase("blocks", at, count.last + 1, count.number)
        return count


def _recut_at(tokens: Sequence[Token], at: int) -> Phrase | None:
    """Read "cut these into", "cut each strip into": cutting again what was just cut."""
    if named := _named_strips(tokens, at):
        return named
    if word_at(tokens, at) == "second" and word_at(tokens, at + 1) in {"cut", "cuts"}:
        return Phrase("recut", at, at + 2)
    if (
        word_at(tokens, at) == "into"
        and mark_at(tokens, at - 1, ";,-")
        and (kind_at(tokens, at + 1) == "number")
    ):
        return Phrase("recut", at, at + 1)
    if word_at(tokens, at) not in CUT_AGAIN:
        return None
    said = skip(tokens, at + 1, WHAT_IS_CUT)
    if said == at + 1 and word_at(tokens, said) == "into" and kind_at(tokens, said + 1) != "word":
        return Phrase("recut", at, said + 1)
    size = side_at(tokens, said) if said > at + 1 else None
    if size:
        second = side_at(tokens, size.after + 1) if kind_at(tokens, size.after) == "times" else None
        said = skip(tokens, (second or size).after, WHAT_IS_CUT | SHAPES.keys())
    elif word_at(tokens, said) in SHAPES:
        said = skip(tokens, said, WHAT_IS_CUT | SHAPES.keys())
    words = {word_at(tokens, place) for place in range(at + 1, said)}
    if not (words & PRONOUNS or words & SHAPES.keys()) or word_at(tokens, said) not in {
        "into",
        "to",
        "in",
        "for",
    }:
        return None
    if word_at(tokens, said + 1) in {"half", "quarters", "fourths", "both", "order"}:
        return None
    each = "each" if words & {"each", "every"} else ""
    return Phrase("recut", at, said + 1, 0, (size.inches(INCH),) if size else (), words=each)


def _cloth_into_at(tokens: Sequence[Token], at: int) -> Phrase | None:
    """Read "cut the moss into 3 strips", "and the oat into 2"."""
    start = at + (word_at(tokens, at) == "cut")
    if word_at(tokens, start) != "the":
        return None
    name, after = name_at(tokens, start)
    follows = word_at(tokens, after) == "as" and word_at(tokens, after + 1) == "follows"
    into = word_at(tokens, after) == "into" and kind_at(tokens, after + 1) == "number"
    if not name or not (into or follows):
        return None
    return Phrase("cloth", at, after + 1, words=name, sure=False)


def _named_strips(tokens: Sequence[Token], at: int) -> Phrase | None:
    """Read "cut the red strips into", "and the blue strips into"."""
    start = at + (word_at(tokens, at) in {"cut", "subcut", "crosscut", "sub-cut", "cross-cut"})
    if word_at(tokens, start) not in {"the", "these", "all"}:
        return None
    size = side_at(tokens, start + 1)
    behind = [word_at(tokens, size.after + n) for n in (0, 1)] if size else []
    if size and behind[0] in {"strip", "strips"} and behind[1] == "into":
        return Phrase("recut", at, size.after + 2, 0, (size.inches(INCH),))
    for place in range(start + 2, start + 4):
        if word_at(tokens, place) in {"strip", "strips"} and word_at(tokens, place + 1) == "into":
            words = " ".join(word_at(tokens, n) for n in range(start + 1, place))
            return Phrase("recut", at, place + 2, words=words) if words.strip() else None
    return None


def _one_at(tokens: Sequence[Token], at: int) -> Phrase | None:
    """Read "a 5-inch square", "a strip": one of them."""
    if word_at(tokens, at) not in {"a", "an", "another"}:
        return None
    if word_at(tokens, at + 1) in {"additional", "extra"} and kind_at(tokens, at + 2) == "number":
        return Phrase("more", at, at + 2)
    for place in range(at + 1, at + 5):
        word = word_at(tokens, place)
        if SHAPES.get(word):
            return Phrase("count", at, at + 1, 1, words="a", sure=False)
        if word in FUNCTION or kind_at(tokens, place) == "":
            return None
    return None
