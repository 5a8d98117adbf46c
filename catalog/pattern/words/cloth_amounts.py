"""Cloth to buy: an amount and the name beside it.

::

    buy := name ["-" | ":" | ","] amount | amount ["each"] ["of"] [number] name
         | name "(" amount ")"
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from catalog.pattern.words.cut_drafts import ReadingState
from catalog.pattern.words.instruction_values import ReadBuy
from catalog.pattern.words.phrases.cloth_phrases import (
    MAX_NAME,
    cloth_and_part,
    name_at,
    names_cloth,
)
from catalog.pattern.words.phrases.phrase_values import Phrase, kind_at, mark_at, skip, word_at
from catalog.pattern.words.phrases.size_phrases import YARD
from catalog.pattern.words.phrases.word_tokens import Token

NO_CLOTH: Final = frozenset(["batting", "wadding", "interfacing"])
"""Bought by its size, or not by the yard from the bolt."""
FOR_ALL: Final = frozenset(["buy", "have", "take", "need"])
"""Words before an amount that name no cloth."""


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
        Place of the token behind the name that the sentence begins with; else 0.
    """
    rest: list[Phrase] = []
    taken, names_first = (phrases[0].first if phrases else 0), start > 0
    for place, phrase in enumerate(phrases):
        if phrase.first < taken:
            continue
        if phrase.kind == "amount" and _says_again(tokens, phrase, bool(taken > phrases[0].first)):
            continue
        if phrase.kind != "amount" or _is_cut(phrases, place):
            rest.append(phrase)
            continue
        bought = _bought(state, tokens, phrases, place, names_first=names_first)
        if bought.first < phrase.first:
            rest = [one for one in rest if one.last <= bought.first or one.kind == "cloth"]
            names_first = True
        begin = _sentence_begin(tokens, start) if start and not taken > start else bought.first
        taken = bought.last
        _add(state, phrase, bought, (tokens[begin].start, tokens[taken - 1].end))
        state.mentioned = bought.names[0] if bought.names else state.mentioned
        if start == 0 and any(one.kind in {"cut", "size"} for one in phrases[place:]):
            rest.append(Phrase("cloth", phrase.first, taken, words=state.mentioned, sure=False))
    return rest


def _sentence_begin(tokens: Sequence[Token], at: int) -> int:
    """Return the place of the first token of the sentence whose name ends before a place."""
    while at > 1 and not mark_at(tokens, at - 2, ".;!"):
        at -= 1
    return at - 1


@dataclass(frozen=True)
class _Bought:
    """The words round an amount."""

    names: tuple[str, ...]
    each: int
    first: int
    last: int
    purpose: str = ""


def _bought(
    state: ReadingState,
    tokens: Sequence[Token],
    phrases: Sequence[Phrase],
    place: int,
    *,
    names_first: bool,
) -> _Bought:
    """Find the name that belongs to an amount: before it, behind it, or that of the line."""
    phrase, before = phrases[place], phrases[place - 1] if place else None
    in_brackets = mark_at(tokens, phrase.first - 1, "([")
    cloths = [one.words for one in phrases[:place] if one.kind == "cloth" and one.words]
    own = cloths[-1] if cloths else state.cloth or state.part
    if in_brackets and place > 1 and phrases[place - 2].kind == "cloth":
        return _Bought((phrases[place - 2].words,), 1, phrase.first, phrase.last)
    lowest = before.first if before and before.kind != "word" else phrases[0].first
    name, first = _ahead(tokens, phrase.first, lowest)
    if phrase.first == 1 and len(tokens[0].text) == 1 and tokens[0].capital:
        state.label = state.label or tokens[0].text.upper()
    each, names, last = _name_behind(state, tokens, phrase)
    purpose = _purpose(tokens, phrase.last, last)
    apart = mark_at(tokens, phrase.last, ",;") and name.split()[0] not in FOR_ALL if name else False
    if name and (names_first or not names or apart):
        return _Bought((name,), _each_alone(tokens, phrase), first, phrase.last)
    if own and (in_brackets or names_first or not names):
        return _Bought((own,), _each_alone(tokens, phrase), phrase.first, phrase.last)
    each_at = phrase.last + (word_at(tokens, phrase.last) == "of")
    if not names and word_at(tokens, each_at) == "each" and (many := _before(tokens, phrase)):
        return _Bought((many[1],), many[0], phrase.first, each_at + 1)
    if not names and in_brackets:
        names = (state.mentioned,)
    return _Bought(names, each, phrase.first, max(last, phrase.last), purpose)


def _ahead(tokens: Sequence[Token], at: int, lowest: int) -> tuple[str, int]:
    """Read the name right before an amount: "oat 1 1/8 yd", "oat: 1 1/8 yd"."""
    end = at - 1 if mark_at(tokens, at - 1, ":-=(") else at
    first = end
    while first > lowest and word_at(tokens, first - 1) and end - first < MAX_NAME:
        first -= 1
    for begin in range(first, end):
        name, after = name_at(tokens, begin)
        if name and after == end and len(name) > 1:
            return name, begin
    return "", at


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


def _says_again(tokens: Sequence[Token], phrase: Phrase, bought: bool) -> bool:
    """Tell "8 fat quarters (1/4 yard each)", whose bracket buys nothing more."""
    each = word_at(tokens, phrase.last) == "each"
    return bought and each and mark_at(tokens, phrase.first - 1, "([")


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
) -> tuple[int, tuple[str, ...], int]:
    """Read "of each of 6 blues", "dark blue", ", mixed florals", "stripe for binding"."""
    at, each, apart = phrase.last, 1, False
    if mark_at(tokens, at, ",-:") and word_at(tokens, at + 1):
        at += 1
    while word_at(tokens, at) in {"of", "each", "in"} or mark_at(tokens, at, "-"):
        apart = apart or word_at(tokens, at) == "each"
        at += 1
    if kind_at(tokens, at) == "number" and (number := tokens[at].whole) and at > phrase.last:
        each, at = number, skip(tokens, at + 1, {"different", "assorted", "various"})
    name, after = name_at(tokens, at)
    names = name.split(" and ") if apart and name else [name] if name else []
    if apart and not name and mark_at(tokens, at, ":"):
        name, after = name_at(tokens, at + 1)
        names = [name] if name else []
    while apart and each == 1 and (word_at(tokens, after) == "and" or mark_at(tokens, after, ",")):
        other, end = name_at(tokens, after + 1)
        if not other:
            break
        names, after = [*names, other], end
    inner, closed = name_at(tokens, after + 1) if mark_at(tokens, after, "(") else ("", after)
    if inner and mark_at(tokens, closed, ")") and names_cloth(inner.split(), state.known()):
        cloth, part = cloth_and_part([name, inner])
        names, after = [cloth or part], closed + 1
    return each, *_past_purpose(tokens, at, tuple(names), after)


def _past_purpose(
    tokens: Sequence[Token], at: int, names: tuple[str, ...], after: int
) -> tuple[tuple[str, ...], int]:
    """Go past what cloth is for; where nothing else names it, it is called so."""
    if not names and word_at(tokens, after) == "for":
        name, after = name_at(tokens, after + 1)
        names = (name,) if name else ()
    elif word_at(tokens, after) == "for":
        after = name_at(tokens, after + 1)[1]
    if mark_at(tokens, after, "(") and word_at(tokens, after + 1) in {
        "includes",
        "for",
        "including",
    }:
        while after < len(tokens) and not mark_at(tokens, after, ")"):
            after += 1
        after = min(after + 1, len(tokens))
    return names, after


def _add(state: ReadingState, phrase: Phrase, bought: _Bought, place: tuple[int, int]) -> None:
    text = " ".join(state.text[place[0] : place[1]].split())
    fat = phrase.words.startswith("fat")
    for name in bought.names or (phrase.words,):
        if set(name.split()) & NO_CLOTH:
            state.noted.append((text, "batting"))
            continue
        yards = Fraction(phrase.sides[0] / YARD) * bought.each
        buy = ReadBuy(name, yards, text, fat=fat, purpose=bought.purpose)
        if state.label and name:
            state.labels[state.label] = name
        number = phrase.number if fat else bought.each
        if number > 1:
            state.fabrics[name] = number
        if not any((one.cloth, one.yards) == (buy.cloth, buy.yards) for one in state.buys):
            state.buys.append(buy)
