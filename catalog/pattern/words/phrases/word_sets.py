"""Sets of words, written as one writes words: with blanks between them."""

from __future__ import annotations


def spaced(text: str) -> tuple[str, ...]:
    """Return the words of a text that blanks part, in their order."""
    return tuple(text.split())


def words_in(text: str) -> frozenset[str]:
    """Return the set of words of a text that blanks part."""
    return frozenset(text.split())
