"""A TOML file read: refused with its line where it is none, the line of each field known."""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from collections.abc import Callable
from typing import Any, Final

from catalog.errors import PatternError
from catalog.pattern.data.field_edits import Place
from catalog.pattern.toml_depth import MAX_DEPTH, too_deep
from catalog.pattern.toml_table import TomlTable

_PART = re.compile(r""""([^"]*)"|'([^']*)'|([\w-]+)""")
_KEY = re.compile(r"""\s*((?:"[^"]*"|'[^']*'|[\w.-]|[ \t](?=[\s.=]))+?)\s*=""")
_MAX_KEY_LENGTH: Final = 100
_HEADER = re.compile(r"\s*(\[\[?)([^\[\]]+)\]\]?\s*(?:#.*)?")
_FIRST_WORD = re.compile(r"\s*([\w.-]+)")
_WHERE: Final = re.compile(r"(.*) \(at (?:line (\d+), column \d+|end of document)\)")


def read_toml(
    text: str, file: str, change: Callable[[dict[str, Any]], dict[str, Any]] | None = None
) -> TomlTable:
    """Read TOML.

    Parameters
    ----------
    text : str
        What the file holds.
    file : str
        Its name for messages.
    change : callable, optional
        Given what the file holds; gives what is to be taken for it.

    Returns
    -------
    TomlTable
        The top of the file.

    Raises
    ------
    PatternError
        What is no TOML, with the line and the field it was in.
    """
    text = text.replace("\r\n", "\n")
    line = too_deep(text)
    if line is not None:
        raise PatternError(
            f"{file}, line {line}: it nests deeper than {MAX_DEPTH} brackets or keys",
            "write it as the shipped patterns are written",
        )
    try:
        values = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise _not_toml(error, text, file) from None
    except ValueError:  # a number of thousands of digits
        raise PatternError(f"{file} has a number too long to read", "shorten it") from None
    return TomlTable(file, change(values) if change else values, _lines_of_fields(text))


def _not_toml(error: Exception, text: str, file: str) -> PatternError:
    found = _WHERE.fullmatch(str(error))
    reason = found[1] if found else str(error)
    lines = text.split("\n")
    line = int(found[2]) if found and found[2] else len(lines)
    word = _FIRST_WORD.match(lines[line - 1])
    where = f"{file}, line {line}" + (f", field {word[1]}" if word else "")
    quoted = "".join(sign if sign.isprintable() else "?" for sign in reason)
    return PatternError(
        f"{where}: it can't be read as TOML ({quoted})",
        'write field = value, with text in "quotes"',
    )


def _lines_of_fields(text: str) -> dict[Place, int]:
    """Return the line of every table and of every field that begins a line."""
    lines: dict[Place, int] = {}
    seen: Counter[Place] = Counter()
    table: Place = ()
    closing = ""
    for number, line in enumerate(text.split("\n"), 1):
        if closing:
            closing = "" if closing in line else closing
        elif header := _HEADER.fullmatch(line):
            table = _table_place(_parts(header[2]), seen, repeated=header[1] == "[[")
            for place in (table, table[:-1] if header[1] == "[[" else table):
                lines.setdefault(place, number)
        elif field := _KEY.match(line, 0, _MAX_KEY_LENGTH):
            lines.setdefault((*table, *_parts(field[1])), number)
            value = line[field.end() :]
            closing = next((q for q in ('"""', "'''") if value.count(q) == 1), "")
    return lines


def _parts(dotted: str) -> Place:
    return tuple(next(filter(None, part), "") for part in _PART.findall(dotted))


def _table_place(parts: Place, seen: Counter[Place], *, repeated: bool) -> Place:
    """Return a header's place: the last table of each repeated one that it lies in."""
    place: Place = ()
    for depth, part in enumerate(parts, 1):
        place = (*place, part)
        if repeated and depth == len(parts):
            seen[place] += 1
        if seen[place]:
            place = (*place, seen[place] - 1)
    return place
