"""The form that a bundle's rows have, so that what comes from elsewhere can be held against it."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from typing import Any, Final, get_args

from catalog.models import BundleRole, Value

Form = Callable[[Any], bool]

LABEL: Final = re.compile(r"R[1-9]\d{0,5}C[1-9]\d{0,5}|S\d{3,6}")
FARTHEST: Final = 1e6
"""Pixels from a photo's corner that no square's corner goes beyond."""
LEAST_WEIGHT, MOST_WEIGHT = 0.1, 10.0
"""Of lightness in a difference; CIEDE2000 divides by it, and 1 and 2 are in use."""
LONGEST: Final = 100_000
"""Letters in a text."""


def number(value: Any) -> bool:  # noqa: ANN401 - this is how it becomes known
    """Whether a value is a finite number."""
    return whole(value) or (type(value) is float and math.isfinite(value))


def whole(value: Any) -> bool:  # noqa: ANN401
    """Whether a value is a whole number that a row can hold."""
    return type(value) is int and abs(value) < 2**53


def text(value: Any) -> bool:  # noqa: ANN401
    """Whether a value is text of a length that anybody would write."""
    return isinstance(value, str) and len(value) <= LONGEST


def texts(value: Any) -> bool:  # noqa: ANN401
    """Whether a value is a list of texts."""
    return isinstance(value, list) and all(text(one) for one in value)


def one_of(*words: Any) -> Form:  # noqa: ANN401
    """Return a form that takes only these."""
    return lambda value: any(value == word and type(value) is type(word) for word in words)


def maybe(form: Form) -> Form:
    """Return a form that takes None as well."""
    return lambda value: value is None or form(value)


def many(form: Form) -> Form:
    """Return a form that takes a list."""
    return lambda value: isinstance(value, list) and all(form(one) for one in value)


def fits(row: Any, forms: Mapping[str, Form], free: frozenset[str] = frozenset()) -> bool:  # noqa: ANN401
    """Whether a row has all these members and no others, each in its form.

    Parameters
    ----------
    row : any
        As JSON gives it.
    forms : mapping
        Form of each member.
    free : frozenset of str
        Members that may be left out.
    """
    return (
        isinstance(row, dict)
        and forms.keys() - free <= row.keys() <= forms.keys()
        and all(forms[key](value) for key, value in row.items())
    )


def corners(value: Any) -> bool:  # noqa: ANN401
    """Whether a value is four points."""
    return (
        isinstance(value, list)
        and len(value) == 4
        and all(
            isinstance(point, list) and len(point) == 2 and all(map(_place, point))
            for point in value
        )
    )


def square(value: Any) -> bool:  # noqa: ANN401
    """Whether a value is a square as `catalog.catalogue.store.encoding` writes it."""
    return fits(
        value,
        {
            "corners": corners,
            "row": maybe(_from_one),
            "col": maybe(_from_one),
            "width_in": number,
            "height_in": number,
            "confidence": lambda v: number(v) and 0 <= v <= 1,
            "flags": texts,
        },
    )


def _place(value: Any) -> bool:  # noqa: ANN401
    return number(value) and abs(value) <= FARTHEST


def _from_one(value: Any) -> bool:  # noqa: ANN401
    return whole(value) and 1 <= value <= 999_999


def _weight(value: Any) -> bool:  # noqa: ANN401
    return number(value) and LEAST_WEIGHT <= value <= MOST_WEIGHT


def _truth(value: Any) -> bool:  # noqa: ANN401
    return isinstance(value, bool)


def _pair(value: Any) -> bool:  # noqa: ANN401
    return isinstance(value, list) and len(value) == 2 and all(map(whole, value))


PHOTO: Final[Mapping[str, Form]] = {
    "number": _from_one,
    "name": text,
    "digest": lambda v: text(v) and re.fullmatch(r"[0-9a-f]{64}", v) is not None,
    "wide": whole,
    "high": whole,
    "cut_off": whole,
    "pixels_per_inch": number,
    "added_at": text,
    "evidence": text,
    "expected_error": number,
    "unevenness": number,
    "measured_from": text,
    "file": text,
    "file_digest": lambda v: v == "" or PHOTO["digest"](v),
    "light": maybe(text),
}
SQUARE: Final[Mapping[str, Form]] = {
    "number": _from_one,
    "photo": _from_one,
    "label": lambda v: text(v) and LABEL.fullmatch(v) is not None,
    "seen": maybe(square),
    "crop": maybe(text),
}
DEED: Final[Mapping[str, Form]] = {
    "number": _from_one,
    "kind": text,
    "args": lambda v: isinstance(v, dict),
    "at": text,
    "made": whole,
    "undone": whole,
}
SWATCH: Final[Mapping[str, Form]] = {
    "square": _from_one,
    "place": whole,
    "label": lambda v: text(v) and LABEL.fullmatch(v) is not None,
    "outline": square,
    **dict.fromkeys(("lightness", "a", "b", "busyness", "uncertainty", "own_uncertainty"), number),
    "print_kind": one_of("plain", "tonal", "busy"),
    "value": one_of(*get_args(Value)),
    "role": one_of(*get_args(BundleRole)),
    **dict.fromkeys(("colour_name", "fabric", "family", "state", "said", "signature"), text),
    "flags": texts,
}
SET: Final[Mapping[str, Form]] = {
    "number": whole,
    "need": text,
    "difference": number,
    "value_step": number,
    "family": text,
    "flags": texts,
    "squares": many(_from_one),
}
COUNT: Final[Mapping[str, Form]] = {
    "at": text,
    "title": text,
    "pattern": text,
    "rules": lambda v: isinstance(v, dict),
    "tally": lambda v: isinstance(v, list),
    "enough": _truth,
    "sets": many(lambda v: fits(v, SET)),
}
