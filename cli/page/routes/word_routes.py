"""A pattern's words that are pasted into the page: what is read from them."""

from __future__ import annotations

from typing import Final

from starlette.responses import Response

from catalog.errors import UsageError
from cli.page.routes.http_answers import PageRequest, TooLargeError, told

MAX_LETTERS: Final = 200_000
"""Of what is pasted; a pattern has a tenth of it."""


def read_words(asked: PageRequest) -> Response:
    """Answer with pieces and cloth beside their words, and what is doubtful or not understood."""
    from catalog.pattern.words.instruction_reading import read_instructions
    from cli.patterns.pattern_read_words import read_view

    text = asked.body.get("text")
    if not isinstance(text, str) or not text.strip():
        raise UsageError(
            "there are no words to read", "paste the cutting instructions into the box"
        )
    if len(text) > MAX_LETTERS:
        raise TooLargeError(
            "that is more than a pattern's words can be", "paste the cutting instructions alone"
        )
    return told(read_view(read_instructions(text)))
