"""Types of the fields of events: what the catalogue may hold, and what may be said today.

Catalogues and archives that earlier versions wrote may hold more than can be said today. So a type
tells what a row may hold, and where less may be said a `Said` or `Limits` beside it tells what.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from types import UnionType
from typing import Annotated, Any, Final, Union, get_args, get_origin, get_type_hints

from msgspec import Meta, json

from catalog.rule_limits import Limits

MAX_ROWS: Final = Limits(1, 1_000)
"""Rows or columns that can be meant: more than any floor has room for."""
MAX_SQUARES: Final = 5_000
"""Squares that one event names: five times the largest bundle that was tried."""
MAX_NAME: Final = 80
"""Letters of a name that are kept."""
MAX_COORDINATE: Final = 1e6
"""Pixels from a photo's corner that no square's corner goes beyond."""


@dataclass(frozen=True)
class Said:
    """Beside a type: the narrower one of what may be said today."""

    type: Any


def _said(held: Any, what: str, **limits: Any) -> Said:  # noqa: ANN401 - a type
    """Return what may be said: a type within limits, and what the page calls it."""
    return Said(Annotated[held, Meta(**limits, description=what)])


def _groups(least: int, most: int) -> Said:
    """Return what may be said of groups of so many squares each."""
    one = Annotated[tuple[Whole, ...], Meta(min_length=least, max_length=most)]
    what = f"a list of {least} to {most} different squares each"
    return _said(tuple[one, ...], what, min_length=1, max_length=MAX_SQUARES)


Whole = Annotated[int, Meta(gt=-(2**53), lt=2**53)]
"""What JSON holds without loss."""
Number = Annotated[float, Meta(ge=-sys.float_info.max, le=sys.float_info.max)]
"""Neither infinite nor no number."""
Text = Annotated[str, Meta(max_length=100_000), _said(str, "a text", max_length=200)]
Name = Annotated[str, Meta(max_length=100_000), _said(str, "a text", max_length=MAX_NAME)]
RowNumber = Annotated[int, Meta(ge=1, le=999_999), MAX_ROWS]
PhotoNumber = Annotated[Whole, Meta(description="a photo's number")]
SquareNumber = Annotated[Whole, Meta(description="a square's number")]
_ANY_SQUARES = tuple[Whole, ...]
Squares = Annotated[
    tuple[Whole, ...],
    _said(_ANY_SQUARES, "a list of squares", min_length=1, max_length=MAX_SQUARES),
]
TwoSquares = Annotated[
    tuple[Whole, ...], _said(_ANY_SQUARES, "two different squares", min_length=2, max_length=2)
]
Sets = Annotated[tuple[tuple[Whole, ...], ...], _groups(2, 4)]
ProjectSets = Annotated[tuple[tuple[Whole, ...], ...], _groups(1, 4)]
Pairs = Annotated[tuple[tuple[Whole, Whole], ...], _groups(2, 2)]
_Coordinate = Annotated[float, Meta(ge=-MAX_COORDINATE, le=MAX_COORDINATE)]
_Corner = tuple[_Coordinate, _Coordinate]
_Point = tuple[Number, Number]
Outline = Annotated[
    tuple[_Corner, _Corner, _Corner, _Corner],
    _said(tuple[_Point, _Point, _Point, _Point], "four points"),
]
"""What is said may lie anywhere: beside the photo, it is told so."""
SaidPlace = Annotated[
    str, Meta(pattern="^[A-Z]+[0-9]+$", max_length=8, description="a place on the wall")
]
"""Such as B3."""
QuarterTurn = Annotated[int, Meta(ge=0, le=270, multiple_of=90, description="a quarter turn")]
"""Degrees clockwise."""
WallPlace = Annotated[str, Meta(max_length=100_000), Said(SaidPlace)]


def sayable(held: Any) -> Any:  # noqa: ANN401 - a type
    """Return the type of what may be said today in a field that may hold values of a type."""
    if get_origin(held) is Annotated:
        base, *beside = get_args(held)
        for one in beside:
            if isinstance(one, Said):
                return one.type
            if isinstance(one, Limits):
                return Annotated[base, Meta(ge=one.least, le=one.most)]
    if get_origin(held) in {Union, UnionType}:
        return Union[tuple(sayable(one) for one in get_args(held))]  # noqa: UP007 - made at run time
    return held


def form_limits(held: Any) -> dict[str, Any]:  # noqa: ANN401 - a type
    """Return the JSON schema of what may be said in a field, None left out."""
    schema = json.schema(sayable(held))
    several: list[dict[str, Any]] = schema.pop("anyOf", [])
    fit = [one for one in several if one != {"type": "null"}]
    return {**schema, **fit[0]} if fit else schema


def limits_of(of: type) -> dict[str, Limits]:
    """Return by name the limits of an event's numbers."""
    hints = get_type_hints(of, include_extras=True)
    found = {name: _limits(hint) for name, hint in hints.items()}
    return {name: limits for name, limits in found.items() if limits is not None}


def _limits(held: Any) -> Limits | None:  # noqa: ANN401 - a type
    if isinstance(held, Limits):
        return held
    return next(filter(None, map(_limits, get_args(held))), None)
