"""Cloth to buy: an amount and the name beside it.

::

    buy := name ["-" | ":" | ","] amount | amount ["each"] ["of"] [number] name
         | name "(" amount ")"
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from catalog.pattern.words.cut_drafts import ReadingState
from catalog.pattern.words.instruction_values import ReadBuy
from catalog.pattern.words.phrases.cloth_phrases import cloth_and_part, name_at, names_cloth
from catalog.pattern.words.phrases.phrase_values import Phrase, kind_at, mark_at, skip, word_at
from catalog.pattern.words.phrases.size_phrases import YARD
from catalog.pattern.words.phrases.word_tokens import Token

NO_CLOTH: Final = frozenset(["batting", "wadding", "interfacing"])
"""Bought by its size, or not by the yard from the bolt."""


def read_amounts(
    state: ReadingState, tokens: Sequence[Token], phrases: Sequence[Phrase], start: int
) -> list[Phrase]:
    """Take cloth to buy into the state, and return the phrases that say something else.

    Parameters
    ----------
    state : ReadingState
    tokens : sequence of Token
        Of the line.
    phrases : sequence of Phrase
        Of a sentence in it.
    start : int
        Place of the token from which the line's words belong together.
    """
    rest: list[Phrase] = []
    taken = 0
    for place, phrase in enumerate(phrases):
        if phrase.first < taken:
            continue
        if phrase.kind != "amount" or _is_cut(phrases, place):
            rest.append(phrase)
            continue
        each, name, taken = _name_behind(state, tokens, phrase)
        own = state.cloth or state.part
        if place > 1 and phrases[place - 2].kind == "cloth" and phrases[place - 1].kind == "stop":
            own = phrases[place - 2].words
        in_brackets = mark_at(tokens, phrase.first - 1, "([")
        if own and (in_brackets or not name or start > 0):
            name, taken = own, phrase.last
            each = _each_alone(tokens, phrase)
        name = name or state.mentioned if in_brackets else name
        if (
            not name
            and word_at(tokens, phrase.last) == "each"
            and (before := _before(tokens, phrase))
        ):
            each, name = before
            taken = phrase.last + 1
        taken = max(taken, phrase.last)
        begin = min(start if not state.buys_on(tokens[start].start) else phrase.first, phrase.first)
        place_in_text = tokens[begin].start, tokens[taken - 1].end
        purpose = _purpose(tokens, phrase.last, taken)
        _add(state, phrase, name or phrase.words, each, place_in_text, purpose)
        if not own or start == 0:
            state.mentioned = name
            bracket = mark_at(tokens, taken, "(") and word_at(tokens, taken + 1) == "cut"
            if bracket:
                state.cloth = name
    return rest


def _purpose(tokens: Sequence[Token], at: int, end: int) -> str:
    """Return what cloth is for: "for binding", "(binding)"."""
    for place in range(at, end):
        opens = word_at(tokens, place) == "for" or mark_at(tokens, place, "(")
        if opens and (name := name_at(tokens, place + 1)[0]):
            return name
    return ""


def _before(tokens: Sequence[Token], phrase: Phrase) -> tuple[int, str] | None:
    """Read "7 prints" before ", 1/4 yard each"."""
    for place in range(max(phrase.first - 6, 0), phrase.first):
        if kind_at(tokens, place) == "number" and (number := tokens[place].whole):
            name, _ = name_at(tokens, place + 1)
            return (number, name) if name else None
    return None


def _is_cut(phrases: Sequence[Phrase], place: int) -> bool:
    """Tell "cut 2 yards" from cloth to buy."""
    return place > 0 and phrases[place - 1].kind in {"cut", "recut"}


def _each_alone(tokens: Sequence[Token], phrase: Phrase) -> int:
    if word_at(tokens, phrase.last) == "each" and word_at(tokens, phrase.last + 1) == "of":
        return (
            (tokens[phrase.last + 2].whole or 1)
            if kind_at(tokens, phrase.last + 2) == "number"
            else 1
        )
    return 1


def _name_behind(
    state: ReadingState, tokens: Sequence[Token], phrase: Phrase
) -> tuple[int, str, int]:
    """Read "of each of 6 blues", "dark blue", ", mixed florals", "stripe for binding"."""
    at, each = phrase.last, 1
    if mark_at(tokens, at, ",-:") and word_at(tokens, at + 1):
        at += 1
    while word_at(tokens, at) in {"of", "each", "in"} or mark_at(tokens, at, "-"):
        at += 1
    if kind_at(tokens, at) == "number" and (number := tokens[at].whole) and at > phrase.last:
        each, at = number, skip(tokens, at + 1, {"different", "assorted", "various"})
    name, after = name_at(tokens, at)
    inner, closed = name_at(tokens, after + 1) if mark_at(tokens, after, "(") else ("", after)
    if inner and mark_at(tokens, closed, ")") and names_cloth(inner.split(), state.known()):
        cloth, part = cloth_and_part([name, inner])
        name, after = cloth or part, closed + 1
    if not name and word_at(tokens, at) == "for":
        name, after = name_at(tokens, at + 1)
    elif word_at(tokens, after) == "for":
        after = name_at(tokens, after + 1)[1]
    if mark_at(tokens, after, "(") and word_at(tokens, after + 1) in {
        "includes",
        "for",
        "including",
    }:
        while after < len(tokens) and not mark_at(tokens, after, ")"):
            after += 1
        after += 1
    return each, name, after


def _add(
    state: ReadingState,
    phrase: Phrase,
    name: str,
    each: int,
    place: tuple[int, int],
    purpose: str = "",
) -> None:
    text = " ".join(state.text[place[0] : place[1]].split())
    if set(name.split()) & NO_CLOTH:
        state.noted.append((text, "batting"))
        return
    fat = phrase.words.startswith("fat")
    yards = Fraction(phrase.sides[0] / YARD) * each
    buy = ReadBuy(name, yards, text, fat=fat, purpose=purpose)
    number = phrase.number if fat else each
    if number > 1:
        state.fabrics[name] = number
    if not any((one.cloth, one.yards) == (buy.cloth, buy.yards) for one in state.buys):
        state.buys.append(buy)
