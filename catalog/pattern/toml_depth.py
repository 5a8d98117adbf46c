"""How deep a TOML file nests, seen before it is parsed: its parser's work grows with the square."""

from __future__ import annotations

import re
from typing import Final

MAX_DEPTH: Final = 16
"""Brackets in brackets, and keys joined by dots; a pattern's own fields need four."""

_PART: Final = r"""\"(?:\\.|[^\"\\\n])*+\"?+|'[^'\n]*+'?+|[\w-]++"""
_TOKEN: Final = re.compile(
    rf"""
    \#[^\n]*+
    | \"{{3}}(?:\\.|(?!\"{{3}})[^\\])*+(?:\"{{3,5}})?+
    | '{{3}}(?:(?!'{{3}}).)*+(?:'{{3,5}})?+
    | (?P<key>(?:{_PART})(?:[ \t]*+\.[ \t]*+(?:{_PART}))*+)
    | [\[\]{{}}]
    """,
    re.VERBOSE | re.DOTALL,
)
"""A comment, a text of several lines, a key or any other value, a bracket.

A text without end is taken to the end, for the parser to refuse, and nothing is looked at twice.
"""


def too_deep(text: str) -> int | None:
    """Return the first line of a TOML file that nests deeper than `MAX_DEPTH`, from 1, or None."""
    depth = 0
    for token in _TOKEN.finditer(text):
        if token[0] in {"[", "{"}:
            depth += 1
        elif token[0] in {"]", "}"}:
            depth = max(depth - 1, 0)
        if depth > MAX_DEPTH or _keys_in(token) > MAX_DEPTH:
            return text.count("\n", 0, token.start()) + 1
    return None


def _keys_in(token: re.Match[str]) -> int:
    """Count the keys that dots join; a text with dots in it is one."""
    key = token["key"]
    if key is None or key.count(".") < MAX_DEPTH:
        return 0
    return sum(1 for _ in re.finditer(_PART, key, re.DOTALL))
