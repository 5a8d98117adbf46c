"""Text to lines as they are meant: wrapped ones joined, bullets and letters taken off."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from catalog.pattern.words.phrases.phrase_values import kind_at, word_at
from catalog.pattern.words.phrases.size_phrases import amount_at
from catalog.pattern.words.phrases.trade_words import DANGLING, SHAPES
from catalog.pattern.words.phrases.word_tokens import UNITS, Token, tokens_of

_BULLET: Final = re.compile(
    r"[ \t]*(?:[-*\u2013\u2014\u2022\u00b7\u25cf\u25aa\u25e6\u2023\u25cb\u25a1\u2610\u2751\u27a2>]+"
    r"(?=[ \t]+)|\[?[0-9]{1,2}[.)\]](?=[ \t])|\(?[a-z][.)](?=[ \t])"
    r"|step [0-9]+[:.)-]?(?=[ \t]))[ \t]*",
    re.IGNORECASE,
)
_LABEL: Final = re.compile(
    r"[ \t]*(?:(?:[Pp]iece|[Pp]atch|[Tt]emplate|[Uu]nit)[ \t]+)?\(?(?P<letter>[A-Z][0-9]?)"
    r"(?:(?<=(?:[eE]|[hH]|[tT])[ ][A-Z])[ \t]*(?=\([^)\n]{2,30}\)[ \t]*[:=-])"
    r"|[:=](?=[ \t])[ \t]*(?=[^\W_])"
    r"|(?:\)|\.(?=[ \t])|[ \t]+[-\u2013\u2014:=](?=[ \t])|(?=[ \t]{2,})|(?=\t))[ \t]*"
    r"(?=[^\W_])(?![a-z]{1,3}\b))",
)
UNITS_APART: Final = frozenset(["inch", "inches", "cm", "centimetres", "centimeters", "mm"])
_FULL_LINE: Final = 70
"""Letters from which on a line that no mark ends is taken for wrapped text; books and e-mail are
set at 65 to 80 (`common practice`)."""


@dataclass(frozen=True)
class InstructionLine:
    """A line, with those joined to it into which its sentence runs."""

    tokens: tuple[Token, ...]
    start: int
    end: int
    indent: int
    """Blanks before it."""
    label: str = ""
    """The letter of a piece that it begins with."""
    bullet: bool = False
    blank_before: bool = False
    blank_after: bool = False
    cloth: str = ""
    """What the row's own column for it names; empty where there is none."""
    row: bool = False
    """Whether it is a row of a table."""
    lined: bool = False
    """Whether the table has a line at its head, so that its rows stand for themselves."""


def lines_of(text: str) -> list[InstructionLine]:
    """Return the lines of a text."""
    lines: list[InstructionLine] = []
    for line in _single_lines(text):
        before = lines[-1] if lines else None
        if before and not line.blank_before and _goes_on(text, before, line):
            tokens = (*before.tokens, *_unit_first(before.tokens, line.tokens))
            lines[-1] = replace(before, tokens=tokens, end=line.end, blank_after=line.blank_after)
        else:
            lines.append(line)
    return lines


def _unit_first(before: Sequence[Token], after: Sequence[Token]) -> Sequence[Token]:
    """Take a unit for one that the line before parted from its number."""
    first = after[0]
    if before[-1].kind != "number" or first.kind != "word" or first.text not in UNITS_APART:
        return after
    return (replace(first, kind="unit", value=UNITS[first.text]), *after[1:])


def _single_lines(text: str) -> Iterator[InstructionLine]:
    at, blank = 0, True
    rows = text.split("\n")
    for number, row in enumerate(rows):
        end = at + len(row)
        if row.strip():
            after = number + 1 == len(rows) or not rows[number + 1].strip()
            yield line_of(text, at, end, blank_before=blank, blank_after=after)
        blank, at = not row.strip(), end + 1


def line_of(
    text: str, at: int, end: int, *, blank_before: bool = False, blank_after: bool = False
) -> InstructionLine:
    """Return one line: its bullet and its letter taken off."""
    indent = len(text[at:end].expandtabs(4)) - len(text[at:end].expandtabs(4).lstrip())
    start = at
    bullet = _BULLET.match(text, at, end)
    start = bullet.end() if bullet else start
    label = _LABEL.match(text, start, end)
    start = label.end() if label else start
    tokens = tuple(tokens_of(text, start, end))
    return InstructionLine(
        tokens, at, end, indent, label["letter"] if label else "", bool(bullet), blank_before,
        blank_after,
    )  # fmt: skip


def _goes_on(text: str, before: InstructionLine, line: InstructionLine) -> bool:
    """Tell whether a line goes on in the next."""
    if line.bullet or line.label or not before.tokens or not line.tokens:
        return False
    last, first = before.tokens[-1], line.tokens[0]
    if last.text == "cut" and first.kind == "number" and line.indent > before.indent:
        return False
    if last.kind == "mark" and last.text in ".:;!?":
        return False
    if (
        last.text in {",", "-", "&"}
        or last.kind == "times"
        or (last.kind == "word" and last.text in DANGLING)
    ):
        return not (_is_row(text, before) or _is_row(text, line))
    if first.kind == "times" or (_wants_size(before.tokens) and _is_size(line.tokens)):
        return True
    if last.kind == "number" and (first.text in SHAPES or first.text == "("):
        return True
    if amount_at(line.tokens, 0, materials=True):
        return False
    lower = first.kind == "word" and not first.capital and not first.spelt
    if lower and line.indent <= before.indent + 2 and not _is_head(line.tokens):
        return not _is_row(text, before) and not _is_row(text, line)
    if (last.kind == "mark" and last.text == ")") or _is_head(line.tokens):
        return False
    return len(text[before.end - _last_length(text, before) : before.end].rstrip()) >= _FULL_LINE


def _last_length(text: str, line: InstructionLine) -> int:
    return line.end - (text.rfind("\n", 0, line.end) + 1)


def _is_row(text: str, line: InstructionLine) -> bool:
    return bool(re.search(r"\t|\||\S {3,}\S", text[line.start : line.end]))


def _wants_size(tokens: Sequence[Token]) -> bool:
    """Tell whether a line ends with "40 pieces" and no size."""
    shape = tokens[-1].kind == "word" and tokens[-1].text in SHAPES
    return shape and kind_at(tokens, len(tokens) - 2) == "number"


def _is_size(tokens: Sequence[Token]) -> bool:
    measured = kind_at(tokens, 1) in {"unit", "times"} or word_at(tokens, 1) == "by"
    return tokens[0].kind == "number" and (measured or tokens[0].value.denominator > 1)


def _is_head(tokens: Sequence[Token]) -> bool:
    """Tell whether a line begins as "red print:" does."""
    for token in tokens[:6]:
        if token.kind == "mark" and token.text != ",":
            return token.text in ":-("
        if token.kind not in {"word", "mark", "number"}:
            return False
    return False
