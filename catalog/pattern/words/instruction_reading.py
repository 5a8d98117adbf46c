"""Cutting instructions in words to pieces: the way in."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Final

from catalog.pattern.words.cloth_amounts import read_amounts
from catalog.pattern.words.cut_drafts import ReadingState
from catalog.pattern.words.heading_reading import (
    head_of_line,
    is_heading,
    read_heading,
    read_legend,
)
from catalog.pattern.words.instruction_lines import InstructionLine, lines_of
from catalog.pattern.words.instruction_tables import with_rows_read
from catalog.pattern.words.instruction_values import ReadInstructions
from catalog.pattern.words.phrases.cloth_phrases import is_part, name_at, names_cloth
from catalog.pattern.words.phrases.phrase_reading import Grammar
from catalog.pattern.words.phrases.phrase_values import Phrase, word_at
from catalog.pattern.words.phrases.trade_words import NOTES
from catalog.pattern.words.phrases.word_tokens import CENTIMETRE, INCH, Token, without_width
from catalog.pattern.words.pieces_read import finished
from catalog.pattern.words.sentence_kinds import kind_of_sentence, note_fabrics, read_key, read_note
from catalog.pattern.words.sentence_reading import SentenceReader

MAX_NAME_ALONE: Final = 3
"""Words in a sentence that is only the name of a cloth."""
MAX_SIGNS: Final = 100_000
"""Of a text: some thirty pages; what comes behind is told as not read."""
MAX_TOKENS: Final = 2_000
"""Of a line with those joined to it; longer ones are no instructions."""


def read_instructions(text: str) -> ReadInstructions:
    """Read cutting instructions as patterns print them.

    Parameters
    ----------
    text : str
        Sentences, lists or tables, with or without what else a pattern tells.

    Returns
    -------
    ReadInstructions
        Pieces of the whole quilt, each with the words that it was read from. Strips that are cut
        further are no pieces; they stand with what is cut from them. What holds a size or tells to
        cut and wasn't understood is among `unread`; what is odd, among `doubts`.
    """
    whole, text = text, without_width(text[:MAX_SIGNS])
    written = lines_of(text)
    lines = with_rows_read(text, written)
    state = ReadingState(text, unit_of(lines))
    state.length_first = tells_length_first(written)
    sizes = {INCH, CENTIMETRE, CENTIMETRE / 10}
    said = {token.value for line in lines for token in line.tokens if token.kind == "unit"} & sizes
    state.mixed_units = INCH in said and len(said) > 1
    for number, line in enumerate(lines):
        state.line, state.indent, state.label = number, line.indent, line.label
        if line.tokens:
            _read_line(state, line, first=number == 0)
    if len(whole) > MAX_SIGNS:
        state.unread.append(f"all behind the first {MAX_SIGNS:,} letters")
    return finished(state)


def unit_of(lines: Sequence[InstructionLine]) -> Fraction:
    """Return the unit of sizes that are written without one: that of most others."""
    said: Counter[Fraction] = Counter()
    for line in lines:
        for token in line.tokens:
            if token.kind == "unit":
                said[token.value] += 1
            elif token.text in {"mm", "millimetres", "millimeters"}:
                said[CENTIMETRE / 10] += 1
            elif token.text in {"cm", "centimetres", "centimeters"}:
                said[CENTIMETRE] += 1
    small = {unit: said[unit] for unit in (INCH, CENTIMETRE, CENTIMETRE / 10)}
    return max(small, key=lambda unit: small[unit])


def tells_length_first(lines: Sequence[InstructionLine]) -> bool:
    """Tell whether the text says that it writes "length x width"."""
    for line in lines:
        words = [token.text for token in line.tokens]
        for first, by, second in zip(words, words[1:], words[2:], strict=False):
            if (
                first in {"length", "long", "l", "height", "h", "tall"}
                and by in {"x", "by", "times"}
                and second[0] == "w"
            ):
                return True
    return False


def _without_width_told(state: ReadingState, line: InstructionLine) -> InstructionLine:
    """Take in "(WOF = 42 in)", and return the line without it."""
    tokens = line.tokens
    opened = [n for n, token in enumerate(tokens) if token.text in {"(", "["}]
    for start in opened:
        end = next((n for n in range(start, len(tokens)) if tokens[n].text in {")", "]"}), None)
        if end is None:
            continue
        inner = tokens[start + 1 : end]
        phrases = Grammar(state.unit).phrases(inner)
        after_width = word_at(tokens, start - 1) in {"wof", "width", "fabric"}
        if after_width and len(phrases) == 1 and phrases[0].kind == "size":
            state.usable = phrases[0].sides[0]
            return replace(line, tokens=(*tokens[:start], *tokens[end + 1 :]))
        told = [one for one in _parts(phrases) if kind_of_sentence(state, inner, one) == "width"]
        for one in told:
            read_note(state, inner, one, "width", shown(state, inner, one))
        if told:
            return replace(line, tokens=(*tokens[:start], *tokens[end + 1 :]))
    return line


def _parts(phrases: Sequence[Phrase]) -> Iterator[list[Phrase]]:
    """Part what stands in brackets at its semicolons."""
    part: list[Phrase] = []
    for phrase in phrases:
        if phrase.kind == "stop" and phrase.words == ";" and part:
            yield part
            part = []
        else:
            part.append(phrase)
    if part:
        yield part


def _read_line(state: ReadingState, line: InstructionLine, *, first: bool) -> None:
    if len(line.tokens) > MAX_TOKENS:
        state.unread.append(" ".join(token.text for token in line.tokens[:8]) + " ...")
        return
    line = _without_width_told(state, line)
    if not line.tokens:
        return
    words = {token.text for token in line.tokens}
    grammar = _grammar(state, line, words)
    phrases = grammar.phrases(line.tokens)
    if line.blank_before:
        state.under_heading = False
    if (
        (phrases and read_key(state, line.tokens, phrases))
        or read_legend(state, line)
        or read_starred(state, line, phrases)
    ):
        return
    if is_heading(line, phrases):
        read_heading(state, line, phrases, title=first and line.blank_after)
        return
    _close_recut(state, line)
    if line.cloth:
        state.head(line.cloth, "")
    start = head_of_line(state, line.tokens)
    if start and state.section == "sewing":
        state.section = "cutting" if _cuts(phrases) else "sewing"
    for number, sentence in enumerate(_sentences(grammar.phrases(line.tokens, start))):
        if _is_name(state, line.tokens, sentence):
            continue
        head = _head_of_sentence(state, line.tokens, sentence) if number else None
        _read_sentence(state, line.tokens, *(head or (sentence, 0 if number else start)))
    sources = [one for one in phrases if one.kind == "recut" or one.words == "strips"]
    if line.tokens[-1].text == ":" and sources:
        told = any(
            one.kind in {"count", "size"} for one in phrases if one.first > sources[-1].first
        )
        state.recut_indent = state.recut_indent if told else line.indent


def _grammar(state: ReadingState, line: InstructionLine, words: set[str]) -> Grammar:
    """Return the grammar of a line; where only cloth is bought, centimetres are lengths of it."""
    plain = Grammar(state.unit)
    phrases = plain.phrases(line.tokens)
    if _cuts(phrases):
        return plain
    if state.section == "materials" or words & {"need", "buy", "require", "requires"}:
        return replace(plain, materials=True)
    kinds = {one.kind for one in phrases}
    bought = "amount" in kinds and not kinds & {"count", "shape", "across", "sew"}
    return replace(plain, materials=bought and not words & NOTES)


def _is_name(state: ReadingState, tokens: Sequence[Token], sentence: Sequence[Phrase]) -> bool:
    """Take in "Cream." where a sentence is only the name of a cloth."""
    first, last = sentence[0].first, sentence[-1].last
    if word_at(tokens, first) in {"take", "next"} and word_at(tokens, first + 1) == "the":
        name, after = name_at(tokens[:last], first + 1)
        if name and after == last and len(name.split()) <= MAX_NAME_ALONE and not is_part(name):
            state.head(name, "")
            return True
    name, after = name_at(tokens[:last], first)
    if (
        last - first > MAX_NAME_ALONE
        or after < last
        or not names_cloth(name.split(), state.known())
    ):
        return False
    state.head(name, "")
    return True


def _head_of_sentence(
    state: ReadingState, tokens: Sequence[Token], sentence: list[Phrase]
) -> tuple[list[Phrase], int] | None:
    """Take in "Blue:" where a sentence within a line begins with it."""
    first, last = sentence[0].first, sentence[-1].last
    marks = [n for n in range(first, min(first + 6, last)) if tokens[n].text == ":"]
    marks += [one.first for one in sentence if one.kind == "amount"]
    if not marks or not (after := head_of_line(state, tokens[first:last])):
        return None
    return [one for one in sentence if one.first >= first + after], first + after


def read_starred(state: ReadingState, line: InstructionLine, phrases: Sequence[Phrase]) -> bool:
    """Take in a note such as "* cut once diagonally" for the pieces that have a star."""
    starred = [one for one in state.drafts if one.star]
    diagonal = [one for one in phrases if one.kind == "diagonal"]
    told = any(one.kind in {"count", "size"} for one in phrases)
    if not starred or not diagonal or told or not line.bullet:
        return False
    times = max((one.number for one in phrases if one.kind == "times"), default=1)
    for one in starred:
        one.diagonal, one.times, one.star = True, max(times, diagonal[0].number), False
    return True


def _cuts(phrases: Sequence[Phrase]) -> bool:
    return any(one.kind in {"cut", "recut"} for one in phrases)


def _close_recut(state: ReadingState, line: InstructionLine) -> None:
    """End the list of what is cut from strips where another begins."""
    last = state.drafts[-1] if state.drafts else None
    outside = line.indent < state.recut_indent or (
        line.indent == state.recut_indent and word_at(line.tokens, 0) in {"cut", "from"}
    )
    if state.recut_indent >= 0 and (outside or (last and last.across and not last.recut and
                                                last.line == state.line - 1 and not last.used_up
                                                and line.indent <= last.indent)):  # fmt: skip
        state.recut_indent = -1


def _sentences(phrases: Sequence[Phrase]) -> Iterator[list[Phrase]]:
    """Split phrases where a sentence ends."""
    sentence: list[Phrase] = []
    ends = {".", "!", "?", ";"} if _only_buys(phrases) else {".", "!", "?"}
    for phrase in phrases:
        if phrase.kind == "stop" and phrase.words in ends:
            if sentence:
                yield sentence
            sentence = []
        else:
            sentence.append(phrase)
    if sentence:
        yield sentence


def _only_buys(phrases: Sequence[Phrase]) -> bool:
    """Tell whether a line says only how much of each cloth to buy."""
    kinds = {one.kind for one in phrases}
    return "amount" in kinds and not kinds & {"cut", "recut", "count", "size", "shape", "sew"}


def _read_sentence(
    state: ReadingState, tokens: Sequence[Token], phrases: list[Phrase], start: int
) -> None:
    if not phrases:
        return
    text = shown(state, tokens, phrases)
    before = len(state.buys) + len(state.noted)
    fabrics, bought_before = len(state.fabrics), len(state.buys)
    if not _cuts(phrases):
        note_fabrics(state, tokens, phrases)
    if read_key(state, tokens, phrases):
        return
    phrases = read_amounts(state, tokens, phrases, start)
    kind = kind_of_sentence(state, tokens, phrases)
    state.sewn = kind == "sewing"
    if _sets_aside(tokens, phrases) and state.drafts:
        for one in state.drafts[-1:]:
            one.set_aside = one.is_strip
    if kind == "width" and len(state.buys) == bought_before + 1 and start:
        kind = "size"
    if kind == "sewing" and _lists_pieces(phrases):
        state.unread.append(text)
    if kind != "cutting":
        read_note(state, tokens, phrases, kind, text)
        return
    reader = SentenceReader(state, tokens, phrases)
    reader.read()
    bought = len(state.buys) + len(state.noted) > before
    for lacking in dict.fromkeys(reader.missing):
        state.doubts.append(f"\"{text}\": {lacking} isn't said, or wasn't understood")
    cuts = _cuts(phrases) and any(one.shape or one.kind == "count" for one in phrases)
    said = cuts or any(one.kind == "size" for one in phrases)
    if (
        reader.missing
        or (reader.left_out() and len(state.fabrics) == fabrics)
        or (said and not (reader.kept or reader.resolved or bought))
    ):
        state.unread.append(text)


def _lists_pieces(phrases: Sequence[Phrase]) -> bool:
    """Tell a piece with all that it needs, which among what is sewn isn't read but told."""
    kinds = [one.kind for one in phrases if one.kind != "stop"]
    whole = {"count", "size", "shape"} <= set(kinds) and "sew" not in kinds
    return whole and kinds[0] in {"count", "cut"}


def _sets_aside(tokens: Sequence[Token], phrases: Sequence[Phrase]) -> bool:
    """Tell "Put these by": what was cut last is cut no further."""
    if not phrases:
        return False
    words = [token.text for token in tokens[phrases[0].first : phrases[-1].last]]
    return words[0] in {"set", "put", "keep", "lay", "leave"} and bool(
        {"aside", "by"} & {*words[1:4]}
    )


def shown(state: ReadingState, tokens: Sequence[Token], phrases: Sequence[Phrase]) -> str:
    """Return the words of a sentence in one line."""
    first, last = tokens[phrases[0].first], tokens[phrases[-1].last - 1]
    return " ".join(state.text[min(first.start, last.start) : max(first.end, last.end)].split())
