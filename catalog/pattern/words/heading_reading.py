"""Headings: which cloth, which part of the quilt, which part of the text begins."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from catalog.pattern.words.cut_drafts import ReadingState
from catalog.pattern.words.instruction_lines import InstructionLine
from catalog.pattern.words.phrases.cloth_phrases import (
    head_at,
    is_part,
    listed_names,
    name_at,
    names_cloth,
)
from catalog.pattern.words.phrases.cut_phrases import names_a_thing
from catalog.pattern.words.phrases.phrase_values import Phrase, kind_at, mark_at, word_at
from catalog.pattern.words.phrases.size_phrases import amount_at
from catalog.pattern.words.phrases.trade_words import (
    NOTES,
    PARTS_OF_QUILT,
    SECTIONS,
    SEW,
    SEW_FIRST,
    SHAPES,
)
from catalog.pattern.words.phrases.word_sets import words_in
from catalog.pattern.words.phrases.word_tokens import Token

MAX_WORDS: Final = 9
"""Of a heading."""
MATERIALS: Final = words_in(
    "materials material requirements requirement supplies shopping need yardage buy"
)
SEWING: Final = words_in(
    "sew sewing piecing assembly assemble assembling making make construction constructing "
    "finishing pressing press layout joining putting together"
)
SEPARATORS: Final = ":-=,("
COLUMN_GAP: Final = 3
"""Blanks that part two columns."""
MAX_PART: Final = 3
"""Words in the name of a part of the quilt."""


def is_heading(line: InstructionLine, phrases: Sequence[Phrase]) -> bool:
    """Tell whether a line says only what those after it are about."""
    tokens = line.tokens
    words = [token for token in tokens if token.kind == "word"]
    if not words or len(words) > MAX_WORDS or line.row:
        return False
    listing = words[0].text in {"cutting", "materials", "requirements", "supplies"}
    if listing and tokens[-1].text == ":":
        return True
    said = [one for one in phrases if one.kind != "stop"]
    if tokens[-1].text == ":" and said and said[-1].kind == "cut" and said[0].kind == "cloth":
        return bool(said[0].words) and all(one.kind != "count" for one in phrases)
    if any(one.kind in {"size", "amount", "recut"} for one in phrases):
        return False
    counted = any(one.kind == "count" for one in phrases)
    ends = tokens[-1].text if tokens[-1].kind == "mark" else ""
    if counted and any(one.shape or one.kind == "triangles" for one in phrases):
        return False
    counted = counted and "block" not in {word.text for word in words}
    return ends == ":" or (ends not in {".", ",", ";", "!", "?"} and not counted)


def read_heading(
    state: ReadingState, line: InstructionLine, phrases: Sequence[Phrase], *, title: bool
) -> None:
    """Let a heading hold from here on; what the whole text is called names no cloth."""
    words = {token.text for token in line.tokens if token.kind == "word"}
    for phrase in phrases:
        if phrase.kind == "cloth":
            _begin(state, phrase.words, "", phrase.number)
            return
        if (phrase.kind == "source" and phrase.words == "strips") or phrase.kind == "recut":
            state.recut_indent = line.indent
            return
        if phrase.kind == "blocks":
            state.blocks = state.blocks or phrase.number
    counts = [phrase.number for phrase in phrases if phrase.kind == "count"]
    if "block" in words and counts and not state.blocks:
        state.blocks = max(counts)
    if any(one.kind == "each" and one.words == "block" for one in phrases):
        state.per_block = True
    elif words & {"whole", "entire"} and words & {"quilt", "top"}:
        state.whole_quilt, state.per_block = state.whole_quilt or state.per_block, False
    if not title or words & SECTIONS:
        _name(state, line, words, phrases)


def _name(
    state: ReadingState, line: InstructionLine, words: set[str], phrases: Sequence[Phrase]
) -> None:
    if words <= SHAPES.keys():
        state.shape = next((SHAPES[word] for word in words if SHAPES[word]), None)
        return
    cutting = words & {"cut", "cutting", "pieces"}
    named = head_at(line.tokens, 0)
    begins = word_at(line.tokens, 0)
    general = begins in SECTIONS | SEW and not (named and named[0].startswith("fabric "))
    if named and cutting and not general and named[0]:
        _begin(state, named[0], named[1])
    elif words & SEWING and not cutting and not _makes_number(line.tokens):
        state.section = "sewing"
        state.head("", "")
    elif words & MATERIALS and not cutting:
        state.section = "materials"
        state.head("", "")
    elif words <= SECTIONS | {"block", "blocks", "one", "whole", "each", "make"} or cutting:
        state.section = "cutting"
        state.head("", "")
        across = any(one.kind == "across" for one in phrases)
        state.shape = "strip" if across and words & {"strip", "strips"} else None
        _part_behind_for(state, line.tokens)
    elif "for" in words:
        state.head("", "")
        _part_behind_for(state, line.tokens)
    elif head := head_at(line.tokens, 0):
        _begin(state, head[0], head[1])


def _makes_number(tokens: Sequence[Token]) -> bool:
    """Tell "Pond block (make 20)", over what is cut for it, from how it is sewn."""
    return any(
        word_at(tokens, place) in {"make", "makes"} and kind_at(tokens, place + 1) == "number"
        for place in range(1, len(tokens))
    )


def _begin(state: ReadingState, cloth: str, part: str, each: int = 0) -> None:
    state.under_heading = bool(cloth)
    state.section = "cutting" if state.section == "sewing" else state.section
    state.head(cloth, part, each)


def _part_behind_for(state: ReadingState, tokens: Sequence[Token]) -> None:
    """Read "for the borders"."""
    for place in range(len(tokens)):
        if word_at(tokens, place) == "for" and (head := head_at(tokens, place + 1)):
            state.part = head[1]


def read_legend(state: ReadingState, line: InstructionLine) -> bool:
    """Take in "A = navy": the letter that a cloth is called by."""
    if not line.label or any(token.kind == "number" for token in line.tokens):
        return False
    name, after = name_at(line.tokens, 0)
    rest = {token.text for token in line.tokens[after:]} - {".", ",", ")", ";"}
    if not name or rest or is_part(name):
        return False
    state.labels[line.label] = name
    return True


def head_of_line(state: ReadingState, tokens: Sequence[Token]) -> int:
    """Take in the name that a line begins with, and return the place behind it; else 0."""
    if word_at(tokens, 0) == "each" and mark_at(tokens, 1, ":") and state.blocks:
        state.per_block = True
        return 2
    if word_at(tokens, 0) in {"each", "every"} and word_at(tokens, 1) == "of":
        return _each_head(state, tokens)
    if word_at(tokens, 0) in {"ditto", "do"}:
        state.cloth = state.cloth or state.mentioned
        return 1 + mark_at(tokens, 1, SEPARATORS)
    if listed := _listed_head(state, tokens) or _bracketed_head(state, tokens):
        return listed
    return _plain_head(state, tokens)


def _plain_head(state: ReadingState, tokens: Sequence[Token]) -> int:
    """Take in "Red print:", "The path: soil brown, 1 1/2 yards"."""
    found = head_at(tokens, 0)
    sews = word_at(tokens, 0) in SEW | NOTES and not names_a_thing(tokens, 0)
    if found is None or sews or word_at(tokens, found[2] - 1) == "width":
        return 0
    cloth, part, after = found
    if set(cloth.split()) <= SECTIONS and cloth:
        return after if mark_at(tokens, after, ":-(") else 0
    after += word_at(tokens, after) in {"gives", "yields", "provides"} and mark_at(
        tokens, after + 1, ":"
    )
    marked = mark_at(tokens, after, SEPARATORS)
    if word_at(tokens, 0) in SEW_FIRST and not marked:
        return 0
    opens = kind_at(tokens, after) == "number" or mark_at(tokens, after, "([")
    if not (marked or opens or word_at(tokens, after) in {"cut", "a", "half"}):
        return 0
    if not marked and not _names_before(state, tokens, after):
        return 0
    inner = _named_inside(state, tokens, cloth, after) if marked else None
    if inner:
        state.head(inner[0], cloth or part)
        return inner[1]
    if cloth or not state.under_heading:
        state.head(cloth, part)
    else:
        state.part = part
    state.shape = SHAPES.get(word_at(tokens, after - 1))
    return after + 1 if marked and not mark_at(tokens, after, "([") else after


def _bracketed_head(state: ReadingState, tokens: Sequence[Token]) -> int:
    """Read "(navy):" behind the letter of a piece."""
    name, after = name_at(tokens, 1) if mark_at(tokens, 0, "(") else ("", 0)
    if not name or not mark_at(tokens, after, ")") or not mark_at(tokens, after + 1, SEPARATORS):
        return 0
    state.head(name, "")
    return after + 2


def _named_inside(
    state: ReadingState, tokens: Sequence[Token], outer: str, after: int
) -> tuple[str, int] | None:
    """Read "The path: soil brown, 1 1/2 yards", where the cloth stands behind what it is for."""
    if not mark_at(tokens, after, ":") or names_cloth(outer.split(), state.known()):
        return None
    name, end = name_at(tokens, after + 1)
    counted = mark_at(tokens, end, ",") and kind_at(tokens, end + 1) == "number"
    if not name or not counted or is_part(name) or len(name.split()) > MAX_PART:
        return None
    return name, end + 1


def _listed_head(state: ReadingState, tokens: Sequence[Token]) -> int:
    """Read "8 prints:", and "red, blue and gold:" where each of them is meant."""
    if kind_at(tokens, 0) == "number" and (number := tokens[0].whole) and number > 1:
        name, after = name_at(tokens, 1)
        each_at = after + mark_at(tokens, after, ",")
        if word_at(tokens, each_at) == "of" and word_at(tokens, each_at + 1) == "each":
            after = each_at + 2
        if name and mark_at(tokens, after, ":") and not is_part(name):
            state.head(name, "", number)
            return after + 1
    each = [n for n in range(len(tokens)) if word_at(tokens, n) == "each"]
    if not each or word_at(tokens, each[0] + 1) == "of":
        return 0
    names, after = listed_names(tokens, 0)
    if len(names) < 2 or not mark_at(tokens, after, ":-"):
        return 0
    state.head(" and ".join(names), "", -1)
    return after + 1


def _names_before(state: ReadingState, tokens: Sequence[Token], at: int) -> bool:
    """Tell a name before a number from the subject of a sentence."""
    words = [word_at(tokens, place) for place in range(at) if word_at(tokens, place)]
    if not words or (len(words) == 1 and len(words[0]) == 1):
        return False
    if words[0] in {"each", "every"}:
        return False
    apart = tokens[at].start - tokens[at - 1].end >= COLUMN_GAP
    amount = amount_at(tokens, at, materials=False) is not None
    part = words[-1] in PARTS_OF_QUILT and len(words) <= MAX_PART
    return apart or amount or part or names_cloth(words, state.known())


def _each_head(state: ReadingState, tokens: Sequence[Token]) -> int:
    """Read "Each of 9 blues:"."""
    number = tokens[2].whole if kind_at(tokens, 2) == "number" else -1
    found = head_at(tokens, 3 if number and number > 0 else 2)
    if found is None or not number:
        return 0
    state.head(found[0] or found[1], "", number)
    return found[2] + mark_at(tokens, found[2], SEPARATORS)
