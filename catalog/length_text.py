"""Text to inches: a length as a quilter writes it."""

from __future__ import annotations

import math
import re
import unicodedata
from fractions import Fraction
from typing import Final

from catalog.errors import LengthError
from catalog.lengths import CENTIMETRES_PER_INCH

MAX_LENGTH: Final = Fraction(10_000)
"""Inches, some 275 yards and more than a bolt holds; a longer one is a slip of the unit."""
_MAX_TEXT = 60
_INCHES_IN: Final[dict[str, Fraction]] = {
    **dict.fromkeys(("", '"', "''", "in", "in.", "inch", "inches"), Fraction(1)),
    **dict.fromkeys(("yd", "yd.", "yds", "yard", "yards"), Fraction(36)),
    **dict.fromkeys(("mm", "millimetre", "millimetres"), 1 / (10 * CENTIMETRES_PER_INCH)),
    **dict.fromkeys(("millimeter", "millimeters"), 1 / (10 * CENTIMETRES_PER_INCH)),
    **dict.fromkeys(("cm", "centimetre", "centimetres"), 1 / CENTIMETRES_PER_INCH),
    **dict.fromkeys(("centimeter", "centimeters"), 1 / CENTIMETRES_PER_INCH),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), 100 / CENTIMETRES_PER_INCH),
}
_CURE = 'write it like "4 7/8", "4.875", "12.4 cm" or "1 1/4 yd"'
DASHES = dict.fromkeys(map(ord, "\u2010\u2011\u2012\u2013\u2014\u2212\ufe63\uff0d"), "-")
PRIMES = {**dict.fromkeys(map(ord, "\u2033\u201c\u201d\u201f\u3003\uff02"), '"')} | dict.fromkeys(
    map(ord, "\u2032\u2018\u2019\uff07"), "'"
)
SLASHES = dict.fromkeys(map(ord, "\u2044\u2215\uff0f"), "/")
RAISED = {ord(c): str(i) for i, c in enumerate("⁰¹²³⁴⁵⁶⁷⁸⁹")}
LOWERED = {ord(c): str(i) for i, c in enumerate("₀₁₂₃₄₅₆₇₈₉")}
_SPLIT_FRACTION = re.compile("([⁰¹²³⁴⁵⁶⁷⁸⁹]+)/([₀₁₂₃₄₅₆₇₈₉]+)")
_LENGTH = re.compile(
    r"""(?P<sign>[+-]?)\s*
    (?: (?:(?P<whole>[0-9]+)(?:-|\s+))? (?P<top>[0-9]+) \s*/\s* (?P<bottom>[0-9]+)
      | (?P<decimal>[0-9]+(?:[.,][0-9]*)? | [.,][0-9]+) )
    \s* (?P<unit>[a-z]+\.? | "|'')?""",
    re.VERBOSE,
)


def parse_length(text: str | float | Fraction, *, cm: bool = False) -> Fraction:
    """Read a length as a quilter writes it.

    Parameters
    ----------
    text : str, int, float or Fraction
        ``4 7/8``, ``4-7/8``, ``4⅞``, ``4.875``, each with or without a unit: in (also ``"``), yd,
        mm, cm or m. A number is in inches; a float is taken as it prints (0.1 is 1/10). A comma
        is a decimal point, unless three digits follow it.
    cm : bool
        Whether a number without its unit is in centimetres.

    Returns
    -------
    Fraction
        Inches, exact, more than 0 and at most 10,000.

    Raises
    ------
    LengthError
        What is no length: empty, words, an unknown unit, a denominator of 0, 0 or less, too long.
    """
    if isinstance(text, str):
        return _in_range(_read_text(text, cm=cm), text.strip())
    if isinstance(text, bool) or (isinstance(text, float) and not math.isfinite(text)):
        raise LengthError(f"{text} is no length", _CURE)
    inches = Fraction(str(text)) if isinstance(text, float) else Fraction(text)
    inches = inches / CENTIMETRES_PER_INCH if cm else inches
    # Python refuses to print a whole number of thousands of digits.
    return _in_range(inches, str(text) if abs(inches) < MAX_LENGTH**2 else "that number")


def _read_text(text: str, *, cm: bool = False) -> Fraction:
    shown = "".join(sign if sign.isprintable() else " " for sign in text).strip()
    if not shown:
        raise LengthError("a length is missing", _CURE)
    if len(text) > _MAX_TEXT:
        raise LengthError(f'"{shown[:20]}..." is too much text for one length', _CURE)
    found = _LENGTH.fullmatch(_plain(text))
    if found is None:
        raise LengthError(f'"{shown}" is no length', _CURE)
    unit = found["unit"] or ("cm" if cm else "")
    if unit not in _INCHES_IN:
        raise LengthError(
            f'"{shown}" has the unit "{unit}", which is none of in, yd, mm, cm and m', _CURE
        )
    number = _number(found, shown)
    return (-number if found["sign"] == "-" else number) * _INCHES_IN[unit]


def _number(found: re.Match[str], shown: str) -> Fraction:
    if found["decimal"]:
        if re.search(",[0-9]{3}$", found["decimal"]):
            raise LengthError(
                f'"{shown}" could be thousands or a decimal', "write a point for a decimal"
            )
        return Fraction(found["decimal"].replace(",", ".").rstrip("."))
    top, bottom = int(found["top"]), int(found["bottom"])
    if not bottom:
        raise LengthError(f'"{shown}" divides by zero', _CURE)
    if found["whole"] and top >= bottom:
        raise LengthError(
            f'"{shown}" has a fraction of one or more after its whole number',
            "write the whole number and a fraction below one",
        )
    return int(found["whole"] or 0) + Fraction(top, bottom)


def _in_range(inches: Fraction, shown: str) -> Fraction:
    if inches <= 0:
        raise LengthError(f'"{shown}" is not more than 0', "write a length that can be cut")
    if inches > MAX_LENGTH:
        raise LengthError(f'"{shown}" is longer than a bolt of fabric', "check the unit")
    return inches


def _plain(text: str) -> str:
    """Turn the signs that phones, word processors and other keyboards write into ASCII.

    Not by NFKC: that would glue ``4⅞`` into ``47/8``.
    """
    text = text.translate(DASHES).translate(PRIMES).translate(SLASHES)
    text = _SPLIT_FRACTION.sub(
        lambda m: f" {m[1].translate(RAISED)}/{m[2].translate(LOWERED)} ", text
    )
    return "".join(map(_plain_sign, text)).strip().lower()


def _plain_sign(sign: str) -> str:
    if unicodedata.decomposition(sign).startswith("<fraction>"):
        return f" {unicodedata.normalize('NFKC', sign)} ".replace("\u2044", "/")
    if "\uff01" <= sign <= "\uff5e":
        return unicodedata.normalize("NFKC", sign)
    # Marks of writing direction and the like have no width and come along when text is copied.
    return {"Zs": " ", "Cf": ""}.get(unicodedata.category(sign), sign)
