"""Tables of a TOML file that know the line of each field, so that a refusal can name it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from difflib import get_close_matches
from fractions import Fraction
from typing import Any, NoReturn

from catalog.errors import LengthError
from catalog.length_text import parse_length
from catalog.lengths import show_length
from catalog.pattern.data.field_edits import FieldEdit, FieldError, Place


class TomlTable:
    """One table of a TOML file.

    Parameters
    ----------
    file : str
        The file's name for messages.
    values : mapping
        What the table holds.
    lines : mapping of Place to int
        Line of each field of the file, from 1.
    place : Place
        Where the table stands in the file.
    """

    def __init__(
        self, file: str, values: Mapping[str, Any], lines: Mapping[Place, int], place: Place = ()
    ) -> None:
        self._file, self._values, self._lines, self._place = file, values, lines, place

    def __contains__(self, key: str) -> bool:
        return key in self._values

    def put(self, key: str, value: object) -> FieldEdit:
        """Return the edit that gives a field of this table another value; None leaves it out."""
        return FieldEdit((*self._place, key), value)

    def gone(self) -> FieldEdit:
        """Return the edit that leaves this table out."""
        return FieldEdit(self._place, None)

    def refuse(
        self, key: str, problem: str, cure: str, *nearest: FieldEdit, place: Place | None = None
    ) -> NoReturn:
        """Raise a FieldError that names file, line and field.

        Parameters
        ----------
        key, problem, cure : str
        nearest : FieldEdit
            What would do nearest to what is written, all of it together; none where nothing tells.
        place : Place, optional
            The field, where it isn't `key` of this table.
        """
        place = place or (*self._place, key)
        known = (place[:size] for size in range(len(place), 0, -1))
        line = next((self._lines[part] for part in known if part in self._lines), 1)
        field = ".".join(part for part in place if isinstance(part, str))
        raise FieldError(
            f"{self._file}, line {line}, field {field}: {problem}",
            cure,
            place=place,
            says=problem,
            nearest=nearest,
        )

    def only(self, fields: Sequence[str]) -> None:
        """Refuse a key that is none of `fields`, with the nearest of them."""
        for key in self._values:
            if key not in fields:
                near = get_close_matches(key, fields, 1)
                cure = f'write "{near[0]}"' if near else f"use one of {', '.join(fields)}"
                gone = self.put(key, None)
                self.refuse(_shown(key)[1:-1], "there is no such field here", cure, gone)

    def one_of(self, keys: Sequence[str]) -> str:
        """Return the one of `keys` that the table has; refuse none and more than one."""
        present = [key for key in keys if key in self]
        names = " or ".join(keys)
        if not present:
            self.refuse(keys[0], "it is missing", f"give {names}")
        if len(present) > 1:
            cure, gone = f"give only one: {names}", self.put(present[1], None)
            self.refuse(present[1], f"it stands beside {present[0]}", cure, gone)
        return present[0]

    def text(self, key: str, default: str | None = None, *, longest: int = 40) -> str:
        """Return a line of text of 1 to `longest` signs."""
        value = self._value(key, default)
        if not isinstance(value, str):
            self.refuse(key, f"{_shown(value)} is no text", f'write {key} = "..." in quotes')
        if not value.strip() or len(value) > longest or not value.isprintable():
            problem = f"{_shown(value)} is not one line of 1 to {longest} signs"
            short = "".join(one for one in value if one.isprintable()).strip()[:longest].strip()
            nearest = [self.put(key, short)] if short else []
            self.refuse(key, problem, "shorten it or write something there", *nearest)
        return value.strip()

    def choice(self, key: str, options: Sequence[str], default: str | None = None) -> str:
        """Return a text that is one of `options`."""
        value = self.text(key, default)
        if value not in options:
            near = get_close_matches(value.casefold(), options, 1)
            listed = " or ".join(f'"{option}"' for option in near or options)
            problem, edit = f"{_shown(value)} is none of {', '.join(options)}", near or options
            self.refuse(key, problem, f"write {listed}", self.put(key, edit[0]))
        return value

    def whole(self, key: str, most: int, default: int | None = None) -> int:
        """Return a whole number from 1 to `most`."""
        value = self._value(key, default)
        if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= most:
            problem = f"{_shown(value)} is no whole number from 1 to {most:,}"
            number = isinstance(value, int | float) and not isinstance(value, bool)
            near = [self.put(key, min(max(round(value), 1), most))] if number else []
            self.refuse(key, problem, f"write {key} = and a whole number, without quotes", *near)
        return value

    def wholes(self, key: str, number: int, most: int) -> tuple[int, ...]:
        """Return a list of so many whole numbers from 0 to `most`, not all of them 0."""
        value = self._value(key, None)
        known = isinstance(value, list) and len(value) == number and any(value)
        if not known or not all(type(one) is int and 0 <= one <= most for one in value):
            problem = f"{_shown(value)} is no list of {number} whole numbers from 0 to {most:,}"
            self.refuse(key, problem, f"write {key} = [...] with a number for each")
        return tuple(value)

    def flag(self, key: str, default: bool) -> bool:
        """Return true or false."""
        value = self._value(key, default)
        if not isinstance(value, bool):
            self.refuse(key, f"{_shown(value)} is not yes or no", f"write {key} = true or false")
        return value

    def texts(self, key: str, most: int) -> tuple[str, ...]:
        """Return a list of 1 to `most` texts."""
        value = self._value(key, None)
        if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
            self.refuse(key, "it is no list of texts", f'write {key} = ["...", "..."]')
        if not 1 <= len(value) <= most:
            self.refuse(key, f"it has {len(value)} texts, not 1 to {most}", "write fewer, or one")
        return tuple(one.strip() for one in value)

    def length(self, key: str, least: Fraction, most: Fraction) -> Fraction:
        """Return a length in inches, from `least` to `most`."""
        return self._length(key, self._value(key, None), least, most)

    def sides(self, key: str, least: Fraction, most: Fraction) -> tuple[Fraction, Fraction]:
        """Return a width and a length in inches, as in "6 x 9", or one side of a square twice."""
        value = self._value(key, None)
        texts = (
            value.replace("\N{MULTIPLICATION SIGN}", "x").split("x")
            if isinstance(value, str)
            else [value]
        )
        if len(texts) > 2:
            self.refuse(key, f"{_shown(value)} is no size", 'write it like "6" or "6 x 9"')
        sides = [self._length(key, text, least, most) for text in texts]
        return sides[0], sides[-1]

    def _length(self, key: str, value: object, least: Fraction, most: Fraction) -> Fraction:
        if not isinstance(value, str | int | float):
            self.refuse(key, f"{_shown(value)} is no length", 'write it like "4 7/8"')
        try:
            inches = parse_length(value)
        except LengthError as error:
            self.refuse(key, error.problem, error.cure)
        if not least <= inches <= most:
            span = f"{show_length(least, step=None, mark=False)} to {show_length(most, step=None)}"
            near = show_length(min(max(inches, least), most), step=None, mark=False)
            problem, cure = f"{_shown(value)} is not from {span}", f"write a length from {span}"
            self.refuse(key, problem, cure, self.put(key, near))
        return inches

    def holds_list(self, key: str) -> bool:
        """Say whether there is a list under `key`."""
        return isinstance(self._values.get(key), list)

    def table(self, key: str) -> TomlTable:
        """Return the table under `key`."""
        value = self._value(key, None)
        if not isinstance(value, dict):
            self.refuse(key, "it is no table", f"write [{key}] on a line of its own")
        return TomlTable(self._file, value, self._lines, (*self._place, key))

    def tables(self, key: str) -> Iterator[TomlTable]:
        """Yield the tables of the list under `key`; none where it is missing."""
        values = self._values.get(key, [])
        if not isinstance(values, list) or not all(isinstance(value, dict) for value in values):
            header = ".".join(p for p in (*self._place, key) if isinstance(p, str))
            self.refuse(key, "it is no list of tables", f"write [[{header}]] before each of them")
        for number, value in enumerate(values):
            yield TomlTable(self._file, value, self._lines, (*self._place, key, number))

    def _value(self, key: str, default: str | int | None) -> Any:  # noqa: ANN401  TOML holds anything
        value = self._values.get(key, default)
        if value is None:
            self.refuse(key, "it is missing", f"add {key} = ... there")
        return value


def _shown(value: object) -> str:
    text = str(value) if not isinstance(value, int) or abs(value) < 10**12 else "a huge number"
    text = "".join(sign if sign.isprintable() else "?" for sign in text)
    return f'"{text[:40]}{"..." if len(text) > 40 else ""}"'
