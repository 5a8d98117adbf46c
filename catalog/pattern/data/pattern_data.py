"""A pattern file as data and back: what its TOML holds, written so that it reads the same."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import Any, Final

from catalog.errors import PatternError
from catalog.pattern.data.field_edits import Data
from catalog.pattern.pattern_file import MAX_FILE_BYTES
from catalog.pattern.pattern_needs import FIELDS
from catalog.pattern.patterns import Pattern, read_values
from catalog.pattern.toml_reading import read_toml

MAX_NUMBER: Final = 10**12
"""Whole numbers of a pattern are far below it; TOML's own end at 2**63."""
_ORDER: Final = FIELDS[""]


def data_of(text: str, name: str) -> dict[str, Any]:
    """Return what a pattern file holds, whether or not it is a pattern that can be made.

    Parameters
    ----------
    text : str
    name : str
        What messages call it.

    Raises
    ------
    PatternError
        It is no TOML, or holds what no field of a pattern is, such as a date.
    """
    read_toml(text, name)  # refuses what nests too deep, with the line
    return plain(tomllib.loads(text.replace("\r\n", "\n")), name)


def plain(values: Mapping[str, Any], name: str = "the pattern") -> dict[str, Any]:
    """Return data as a pattern file can hold them, fields without a value left out.

    Raises
    ------
    PatternError
        Something in them is neither text, number, yes or no, nor a list or table of those.
    """
    return {str(key): _plain(value, name) for key, value in values.items() if value is not None}


def text_of(data: Data) -> str:
    """Write data as a pattern file, its tables in the order in which the example explains them.

    Raises
    ------
    PatternError
        They are longer than a pattern file can be, or none.
    """
    import tomli_w

    ordered = sorted(data, key=lambda key: _ORDER.index(key) if key in _ORDER else len(_ORDER))
    text = tomli_w.dumps(plain({key: data[key] for key in ordered}))
    if len(text.encode("utf-8", "replace")) > MAX_FILE_BYTES:
        raise PatternError("the pattern is larger than a pattern can be (1 MB)", "leave some out")
    return text


def pattern_of(data: Data, name: str) -> Pattern:
    """Return the pattern that data are.

    Raises
    ------
    PatternError
        A field that is wrong, unknown or missing; of the fields a `FieldError`.
    """
    return read_values(plain(data, name), name, text_of(data))


def _plain(value: object, name: str) -> Any:  # noqa: ANN401 - TOML holds anything
    if isinstance(value, Mapping):
        return plain(value, name)
    if isinstance(value, list | tuple):
        return [_plain(one, name) for one in value]
    if isinstance(value, str):
        return value.encode("utf-8", "replace").decode("utf-8")
    if isinstance(value, bool):
        return value
    if isinstance(value, int | float) and abs(value) < MAX_NUMBER:
        return value
    problem = f"{name} holds what is neither text, number, yes or no, nor a list of those"
    raise PatternError(problem, "write it as the shipped patterns are written")
