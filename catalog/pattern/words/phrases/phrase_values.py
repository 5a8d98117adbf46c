"""Phrases: what a few tokens say together, before it is known what they belong to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from catalog.pattern.words.instruction_values import CutShape
from catalog.pattern.words.phrases.word_tokens import Token

PhraseKind = Literal[
    "count", "size", "shape", "triangles", "across", "along", "cut", "recut", "sew", "diagonal",
    "times", "cloth", "source", "each", "blocks", "amount", "more", "same", "total", "then", "stop",
    "word",
]  # fmt: skip


MAX_SKIPPED: Final = 8
"""Words that say nothing of their own one after another; more are no sentence."""


@dataclass(frozen=True)
class Phrase:
    """A count, a size, the name of a cloth: the smallest thing that says something."""

    kind: PhraseKind
    first: int
    """Index of its first token."""
    last: int
    """One past its last."""
    number: int = 0
    """What a count counts; how many blocks or fabrics; how often cut across the diagonal."""
    sides: tuple[Fraction, ...] = ()
    """Inches, of a size; width first where words tell which is which. Of an amount its length."""
    words: str = ""
    """A cloth's name, a mark, a word; "long" or "wide" of a size with one side."""
    shape: CutShape | None = None
    sure: bool = True
    """False where the words may be meant in another way too."""


def word_at(tokens: Sequence[Token], at: int) -> str:
    """Return the word at a place; empty where there is none."""
    return tokens[at].text if 0 <= at < len(tokens) and tokens[at].kind == "word" else ""


def kind_at(tokens: Sequence[Token], at: int) -> str:
    """Return the kind of the token at a place; empty past the end."""
    return tokens[at].kind if 0 <= at < len(tokens) else ""


def mark_at(tokens: Sequence[Token], at: int, marks: str) -> bool:
    """Tell whether one of some marks stands at a place."""
    return kind_at(tokens, at) == "mark" and tokens[at].text in marks


def skip(tokens: Sequence[Token], at: int, words: frozenset[str] | set[str]) -> int:
    """Return the place after any of some words; no more than `MAX_SKIPPED` of them."""
    for _ in range(MAX_SKIPPED):
        if at >= len(tokens) or word_at(tokens, at) not in words:
            break
        at += 1
    return at
