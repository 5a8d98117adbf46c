"""Edits of a pattern's data, and the refusal that names a field and the edit that would do."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from catalog.errors import PatternError

Place = tuple[str | int, ...]
"""Keys, and numbers in arrays from 0, from the top of the file to a field."""
Data = Mapping[str, Any]
"""What a pattern file holds: texts, numbers, yes or no, lists and tables of them."""
ROLES: Final = ("feature", "background", "small")
"""The tables of pieces, in the order in which a file's pieces are read."""


@dataclass(frozen=True)
class FieldEdit:
    """One field given another value."""

    place: Place
    """From the top of the file; of a piece by its name, from the piece's table."""
    value: object
    """None to leave the field (or the whole table in an array) out."""
    piece: str = ""
    """Name of the piece whose field it is; empty where `place` begins at the top."""


class FieldError(PatternError):
    """A field of a pattern that can't be as it is.

    Parameters
    ----------
    problem, cure : str
        As of every error; the problem names file, line and field.
    place : Place
        The field.
    says : str
        The problem alone.
    nearest : sequence of FieldEdit
        What would do nearest to what is written, all of it together; none where nothing tells.
    """

    def __init__(
        self,
        problem: str,
        cure: str,
        *,
        place: Place = (),
        says: str = "",
        nearest: Sequence[FieldEdit] = (),
    ) -> None:
        super().__init__(problem, cure)
        self.place, self.says, self.nearest = place, says or problem, tuple(nearest)


def of_piece(piece: str, key: str, value: object) -> FieldEdit:
    """Return the edit of a field of a piece that is known by its name."""
    return FieldEdit((key,), value, piece)


def piece_place(data: Data, name: str) -> Place | None:
    """Return where the table of a piece stands; None where there is no such piece."""
    for role in ROLES:
        for number, piece in enumerate(_tables(data, role)):
            if piece.get("name", role) == name:
                return role, number
    return None


def placed(edit: FieldEdit, data: Data) -> FieldEdit | None:
    """Return an edit by its place from the top; None where its piece isn't there."""
    if not edit.piece:
        return edit
    place = piece_place(data, edit.piece)
    return None if place is None else FieldEdit((*place, *edit.place), edit.value)


def edited(data: Data, edits: Sequence[FieldEdit]) -> dict[str, Any]:
    """Return data with edits made in their order; the given data stay as they are.

    A place that isn't there is made if it is a field of a table that is; else nothing happens.
    """
    changed = dict(data)
    for edit in edits:
        found = placed(edit, changed)
        if found is not None and found.place:
            changed = _put(changed, found.place, found.value)
    return changed


def _put(here: Any, place: Place, value: object) -> Any:  # noqa: ANN401 - tables and lists
    key, *rest = place
    if isinstance(here, dict):
        if not rest:
            left = {name: one for name, one in here.items() if name != key or value is not None}
            return left if value is None else {**left, key: value}
        inner = here.get(str(key))
        return {**here, key: _put({} if inner is None else inner, tuple(rest), value)}
    if not isinstance(here, list) or not isinstance(key, int) or not 0 <= key < len(here):
        return here
    own = [value] if not rest else [_put(here[key], tuple(rest), value)]
    return [*here[:key], *([] if own == [None] else own), *here[key + 1 :]]


def _tables(data: Data, key: str) -> list[Data]:
    values = data.get(key)
    return [one for one in values if isinstance(one, dict)] if isinstance(values, list) else []
