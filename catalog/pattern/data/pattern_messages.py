"""What doesn't fit in a pattern, field by field, each with the nearest edit that works."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final, Literal

from catalog.errors import PatternError
from catalog.pattern.data.field_edits import (
    Data,
    FieldEdit,
    FieldError,
    Place,
    edited,
    piece_place,
    placed,
)
from catalog.pattern.data.pattern_data import pattern_of
from catalog.pattern.data.rescaling import nearest_block
from catalog.pattern.data.whole_units import left_over_units
from catalog.pattern.patterns import Pattern

MAX_MESSAGES: Final = 12
"""More at once nobody reads; each costs a reading of the pattern."""
Weight = Literal["wrong", "mind"]
"""``wrong``: no pattern as it is; ``mind``: one, of which this is to be known."""


@dataclass(frozen=True)
class Mend:
    """The nearest that works, and what a button says that does it."""

    says: str
    edits: tuple[FieldEdit, ...]


@dataclass(frozen=True)
class FieldMessage:
    """Something to be said of one field."""

    place: Place
    """Of the field; () where it is of the whole pattern."""
    says: str
    """One sentence."""
    mend: Mend | None = None
    """None where nothing near would do."""
    weight: Weight = "wrong"
    piece: str = ""
    """Name of the piece that it is about; empty where it is of none."""


@dataclass(frozen=True)
class PatternCheck:
    """Data looked over."""

    messages: tuple[FieldMessage, ...]
    data: Data
    """With every mend of what is wrong made."""
    pattern: Pattern | None
    """What the mended data are; None where something wrong has no mend."""

    @property
    def sound(self) -> bool:
        """Whether the data are a pattern as they stand."""
        return not any(one.weight == "wrong" for one in self.messages)


def check_pattern(data: Data, name: str = "the pattern") -> PatternCheck:
    """Look data over with the rules of the pattern file's reader.

    The reader stops at the first thing that is wrong. What is nearest to it and works is put in
    its place, and it reads on, so that everything wrong is told at once.

    Parameters
    ----------
    data : mapping
        What a pattern file holds.
    name : str
        What to call it.
    """
    messages: list[FieldMessage] = []
    while len(messages) < MAX_MESSAGES:
        try:
            return PatternCheck(tuple(messages), data, pattern_of(data, name))
        except PatternError as error:
            mend = _mend(data, error, name)
            message = _message(data, error, mend)
            if message.place[-1:] in {("grid",), ("fabrics",), ("per_block",)}:
                message, mend = _of_whole_units(data, message, name)
            told = [(one.place, one.says) for one in messages]
            if (message.place, message.says) in told:  # two mends undo each other
                break
            messages.append(message)
            if mend is None:
                break
            data = edited(data, mend.edits)
    return PatternCheck(tuple(messages), data, None)


def _of_whole_units(
    data: Data, message: FieldMessage, name: str
) -> tuple[FieldMessage, Mend | None]:
    """Say it of the units that are drawn, where it is for one being left over."""
    says, edits = left_over_units(data)
    if not says or not _helps(data, edits, FieldError("", "", says=message.says), name):
        return message, message.mend
    mend = Mend("Make what is left over plain", edits)
    told = f"{says[:1].upper()}{says[1:]}."
    return replace(message, place=("block",), says=told, mend=mend), mend


def _message(data: Data, error: PatternError, mend: Mend | None) -> FieldMessage:
    place: Place = ()
    says, piece, nearest = error.problem, "", tuple[FieldEdit, ...]()
    if isinstance(error, FieldError):
        place, says, nearest = error.place, error.says, error.nearest
        piece = _piece_at(data, place)
    named = next((edit for edit in nearest if edit.piece), None)
    if named and (own := piece_place(data, named.piece)):
        piece = named.piece
        place = place if place[:1] == ("sashing",) else (*own, *named.place)
    elif place[-1:] == ("grid",) and mend and mend.edits[0].place[0] == "layout":
        place = mend.edits[0].place
    cure = "" if mend else f"; {error.cure}"
    return FieldMessage(place, f"{says[:1].upper()}{says[1:]}{cure}.", mend, piece=piece)


def _piece_at(data: Data, place: Place) -> str:
    """Return the name of the piece that a place lies in; empty where it lies in none."""
    if len(place) < 2 or not isinstance(place[1], int):
        return ""
    tables = data.get(str(place[0]))
    known = isinstance(tables, list) and place[1] < len(tables)
    table: Any = tables[place[1]] if known and tables else {}
    named = place[0] in {"feature", "background", "small"} and isinstance(table, dict)
    return str(table.get("name", place[0])) if named else ""


def _mend(data: Data, error: PatternError, name: str) -> Mend | None:
    """Return the first edit after which the reader no longer says the same."""
    if not isinstance(error, FieldError):
        return None
    for edits in _tried(data, error):
        found = tuple(one for one in (placed(edit, data) for edit in edits) if one is not None)
        if len(found) == len(edits) and _helps(data, found, error, name):
            return Mend(_words(edits, error), found)
    return None


def _tried(data: Data, error: FieldError) -> Iterator[Sequence[FieldEdit]]:
    if error.nearest:
        yield error.nearest
    if error.place[-1:] in {("finished_block",), ("size",), ("trim",)}:
        yield nearest_block(data)


def _helps(data: Data, edits: Sequence[FieldEdit], error: FieldError, name: str) -> bool:
    changed = edited(data, edits)
    if not edits or changed == data:
        return False
    try:
        pattern_of(changed, name)
    except FieldError as other:
        return (other.place, other.says) != (error.place, error.says)
    except PatternError:
        return False
    return True


def _words(edits: Sequence[FieldEdit], error: FieldError) -> str:
    """Say what a button does."""
    first = next((one for one in edits if one.value is not None), edits[0])
    if first.value is None:
        return "Leave it out"
    if isinstance(first.value, bool):
        return f"{str(first.place[-1]).capitalize()}: {'yes' if first.value else 'no'}"
    told = ", ".join(map(str, first.value)) if isinstance(first.value, list) else str(first.value)
    what = str(first.place[-1]).replace("_", " ")
    if first.piece:
        return f"Make {first.piece} {told}" if what == "size" else f"{first.piece}: {what} {told}"
    return f"Use {told}" if first.place == error.place else f"{what.capitalize()}: {told}"
