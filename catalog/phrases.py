"""Numbers and lists of names as people say them."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

MAX_NAMED: Final = 8
"""Squares or sets named one by one; more are only counted. They fill a line or two."""


def listed(names: Sequence[str], most: int = MAX_NAMED) -> str:
    """Write names one after another; of many, the first and how many more there are."""
    more = len(names) - most
    return ", ".join(names[:most]) + (f" and {more:,} more" if more > 0 else "")


def printable(text: str, instead: str = "?") -> str:
    """Return text with another sign in place of those that no console shows or UTF-8 can't hold."""
    return "".join(sign if sign.isprintable() else instead for sign in text)


def quoted_if_spaced(name: str) -> str:
    """Return a name as it is typed in the shell, where only blanks in it need quotes."""
    return f'"{name}"' if " " in name else name


def in_one_line(error: BaseException) -> str:
    """Return kind and words of an error; OpenCV's own run over several lines."""
    return " ".join(f"{type(error).__name__}: {error}".split())


def capital(clause: str) -> str:
    """Return a clause with a capital letter."""
    return clause[:1].upper() + clause[1:]


def sentence(clause: str) -> str:
    """Return a clause as a sentence."""
    return capital(clause).rstrip(".") + "."


def joined(names: Sequence[str]) -> str:
    """Write names one after another: ``a, b and c``."""
    return " and ".join((", ".join(names[:-1]), names[-1])) if len(names) > 1 else "".join(names)


def decimal(number: Fraction | int) -> str:
    """Write a number without a fraction bar: ``3``, ``2.5``."""
    return str(number) if Fraction(number).denominator == 1 else f"{float(number):g}"


def runs_of(places: Sequence[str]) -> list[str]:
    """Write places of one row that follow one another as ``A1 to A4``; two are named both."""
    runs: list[list[str]] = []
    for place in places:
        row = place.rstrip("0123456789")
        number = place.removeprefix(row)
        if runs and number and runs[-1][-1] == f"{row}{int(number) - 1}":
            runs[-1].append(place)
        else:
            runs.append([place])
    told = []
    for run in runs:
        told += [f"{run[0]} to {run[-1]}"] if len(run) > 2 else run
    return told


def count_of(number: int, noun: str, plural: str | None = None) -> str:
    """Write a number and its noun: ``1 square``, ``1,200 squares``."""
    return f"{number:,} {noun if number == 1 else plural or noun + 's'}"


def with_article(noun: str) -> str:
    """Write a noun after ``a`` or ``an``, as its first letter wants."""
    return f"{'an' if noun[:1].lower() in set('aeio') else 'a'} {noun}"
