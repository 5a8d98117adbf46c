"""``bundle.json`` of an archive: bytes to plain values, with nothing in them trusted."""

from __future__ import annotations

import json
import math
from typing import Any, Final

from catalog.errors import CatalogueError

FORMAT: Final = "calicount bundle"
VERSION: Final = 4
"""From 2 on a photo may have lost its metadata and be known by the digest that it came with; from 3
on swatches say what their prints are like; from 4 on patterns of one's own go along."""
OLDER: Final = (1, 2, 3)
"""Versions that are read too."""
INDEX: Final = "bundle.json"
LINE_BREAKS: Final = "\n\r\t"
"""And what sets a line in: a pattern's file has them."""
MAX_INDEX_MEMORY: Final = 1 << 30
"""Bytes that ``bundle.json`` may take when it is read: 1.5 times those of 50,000 squares
(about 14 kB each, reckoned as `_when_read` does)."""


def read_index(told: bytes, name: str) -> dict[str, Any]:
    """Return what ``bundle.json`` says.

    Parameters
    ----------
    told : bytes
    name : str
        What to call the archive in a sentence.

    Raises
    ------
    CatalogueError
        It holds too much, can't be understood, or is of another version.
    """
    if _when_read(told) > MAX_INDEX_MEMORY:
        raise unfit(name, f"its {INDEX} holds more than any bundle")
    try:
        read = json.loads(told.decode("utf-8"), parse_constant=_no_number, parse_float=_finite)
    except (ValueError, RecursionError) as error:
        raise unfit(name, f"its {INDEX} can't be understood") from error
    if not isinstance(read, dict) or read.get("format") != FORMAT:
        raise unfit(name, "it isn't a bundle")
    if read.get("version") in OLDER:
        _bring_up_to_date(read)
    elif read.get("version") != VERSION:
        raise CatalogueError(
            f"'{name}' was exported by a newer calicount", "bring this calicount up to date"
        )
    return read


def unfit(name: str, why: str) -> CatalogueError:
    """Return the error that an archive can't be taken in."""
    return CatalogueError(
        f"'{name}' can't be taken in: {why}", "export the bundle again where it came from"
    )


def cleaned(value: Any, but: str = "") -> Any:  # noqa: ANN401 - whatever JSON holds
    """Return what JSON holds without the control letters that could steer a terminal.

    Those in ``but`` stay, and those that break lines stay in a pattern's file.
    """
    if isinstance(value, str):
        return "".join(" " if _steers(one) and one not in but else one for one in value)
    if isinstance(value, list):
        return [cleaned(one, but) for one in value]
    if isinstance(value, dict):
        return {
            cleaned(key): cleaned(one, LINE_BREAKS if key == "patterns" else but)
            for key, one in value.items()
        }
    return value


def _steers(letter: str) -> bool:
    """Whether it is a control letter, half a surrogate pair, or turns the writing round."""
    code = ord(letter)
    return (
        code < 0x20 or 0x7F <= code < 0xA0 or 0xD800 <= code < 0xE000
        or 0x202A <= code <= 0x202E or 0x2066 <= code <= 0x2069
    )  # fmt: skip


def _bring_up_to_date(index: dict[str, Any]) -> None:
    """Say what there was no need to say: of photos that came as they were, of prints unmeasured."""
    index.setdefault("patterns", [])
    for since, table, member, unsaid in _ADDED:
        rows = index.get(table) if index["version"] < since else ()
        for row in rows if isinstance(rows, list) else ():
            if isinstance(row, dict):
                row.setdefault(member, unsaid)


_ADDED: Final = ((2, "photos", "file_digest", ""), (3, "swatches", "print", None))
"""Since which version rows of a table have a member, and what it is where they lack it."""


def _when_read(told: bytes) -> int:
    """Return how many bytes some JSON takes at most when Python has read it.

    A list or an object takes up to 240 bytes (an object with one member), any other value up to 60
    (a text with one letter, and its place in a list); measured with ``sys.getsizeof``.
    """
    return 240 * (told.count(b"[") + told.count(b"{")) + 60 * told.count(b",")


def _finite(text: str) -> float:
    value = float(text)
    if not math.isfinite(value):
        raise ValueError(text)
    return value


def _no_number(text: str) -> float:
    raise ValueError(text)
