"""What the user says of a bundle's squares, told photo by photo."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from catalog.errors import UsageError
from catalog.models import Found, LightHints, Square, label_of


def hints_by_photo(founds: Sequence[Found], hints: LightHints) -> tuple[LightHints, ...]:
    """Split hints that name squares by their labels in the bundle.

    Parameters
    ----------
    founds : sequence of Found
        Of the photos, in their order.
    hints : LightHints
        With labels as `label_bundle` gives them, in any case.

    Returns
    -------
    tuple of LightHints
        One for each photo, with labels in its own rows; ground, lamp and page are said of every
        photo.

    Raises
    ------
    UsageError
        No square has that label.
    """
    by_photo = [replace(hints, white=None, grey=None)] * len(founds)
    for option, label in (("white", hints.white), ("grey", hints.grey)):
        if label is None:
            continue
        where = _places(founds).get(label.strip().upper())
        if where is None:
            problem = f"--{option} {label}: no square of the bundle is called so"
            raise UsageError(problem, "take a label from found.jpg or swatches.csv")
        photo, own = where
        said = by_photo[photo]
        by_photo[photo] = replace(said, white=own) if option == "white" else replace(said, grey=own)
    return tuple(by_photo)


def _places(founds: Sequence[Found]) -> dict[str, tuple[int, str]]:
    """Return each bundle label's photo, and the label in that photo's own rows."""
    places = {}
    rows_before = loose = 0
    for number, found in enumerate(founds):
        for count, square in enumerate(found.squares, start=1):
            own = label_of(square, count)
            if square.row is None or square.col is None:
                loose += 1
                places[f"S{loose:03d}"] = (number, own)
            else:
                places[_in_bundle(square, rows_before)] = (number, own)
        rows_before += max((square.row or 0 for square in found.squares), default=0)
    return places


def _in_bundle(square: Square, rows_before: int) -> str:
    return label_of(replace(square, row=(square.row or 0) + rows_before), 0)
