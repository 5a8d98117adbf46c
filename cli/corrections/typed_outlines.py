"""Places and corners as a person types them, checked against the photo."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING, Final

from catalog.errors import CatalogueError, UsageError
from catalog.phrases import count_of
from cli.bundles.named_squares import number_of, photo_of
from cli.bundles.open_bundle import quoted
from cli.corrections.said_of_bundle import Event, StoredBundle, events

if TYPE_CHECKING:
    from catalog.catalogue.records import StoredPhoto
    from catalog.models import Corners, Point

MAX_TYPED_ROWS: Final = 999
"""Rows or columns that can be meant."""
MIN_TYPED_SIDE_PX: Final = 8.0
"""Pixels; a shorter side shows no cloth that could be measured."""
_PLACE: Final = re.compile(r"R(\d{1,4})C(\d{1,4})")


def row_and_column(text: str) -> tuple[int, int]:
    """Read a place such as ``R3C5``, both from 1.

    Raises
    ------
    UsageError
        It is none.
    """
    read = _PLACE.fullmatch(text.strip().upper())
    row, col = (int(read[1]), int(read[2])) if read else (0, 0)
    if not (1 <= row <= MAX_TYPED_ROWS and 1 <= col <= MAX_TYPED_ROWS):
        raise UsageError(f"'{text}' is no row and column", "write it as in R3C5, both from 1")
    return row, col


def missed_square(
    kept: StoredBundle, place: str | None, corners: str | None, photo: int | None
) -> Event:
    """Return the event of a square that was missed."""
    if place is None and corners is None:
        raise UsageError(
            "neither its place nor its corners are given",
            "write --place R3C4, or its four corners with --corners",
        )
    cell = row_and_column(place) if place is not None else None
    if cell:
        _refuse_taken(kept, cell)
    shown = _photo_of_row(kept, photo, cell)
    if corners is not None:
        outline = corners_of(corners, shown)
        cell = cell or _free_cell(kept, shown, outline)
    else:
        outline = _proposed(kept, shown, cell or (0, 0))
    row, col = cell or (None, None)
    return events.MissedSquare.of(shown.id, outline, row, col)


def moved_corners(kept: StoredBundle, label: str, corners: str, *, insist: bool) -> Event:
    """Return the event of corners that lie elsewhere; far from where they were if she insists."""
    from cli.corrections.questioned import question_corners

    square = kept.state.squares[number_of(kept, label)]
    photo = next(one for one in kept.photos if one.id == square.photo)
    outline = corners_of(corners, photo)
    if not insist:
        question_corners(square, outline)
    return events.MovedCorners.of(square.id, outline)


def corners_of(text: str, photo: StoredPhoto) -> Corners:
    """Read four corners and turn them the way the catalogue keeps them: clockwise in the picture.

    Raises
    ------
    UsageError
        They aren't four, lie outside the photo, or make no square.
    """
    points = [_point(one, text) for one in text.replace(";", " ").split()]
    if len(points) != 4:
        raise UsageError(
            f"'{text}' has {count_of(len(points), 'corner')}",
            'write four, as in "10,10 90,12 88,92 9,90"',
        )
    outside = [(x, y) for x, y in points if not (0 <= x <= photo.wide and 0 <= y <= photo.high)]
    if outside:
        x, y = outside[0]
        raise UsageError(
            f"the corner {x:g},{y:g} lies outside {photo.name}",
            f"its pixels go from 0,0 to {photo.wide},{photo.high}",
        )
    return _clockwise(points, text)


def _point(text: str, whole: str) -> Point:
    parts = text.split(",")
    try:
        x, y = (float(part) for part in parts)
    except ValueError:
        x = y = math.nan
    if not (math.isfinite(x) and math.isfinite(y)):
        raise UsageError(
            f"'{text}' in '{whole}' is no corner", 'write it as "x,y" in pixels, such as 410,300'
        )
    return x, y


def _clockwise(points: list[Point], text: str) -> Corners:
    """Order corners clockwise, from the one that was named first where they go round already."""
    from catalog.catalogue.events.drawn_squares import turns_of

    middle = (sum(x for x, _ in points) / 4, sum(y for _, y in points) / 4)
    turned = sorted(points, key=lambda p: math.atan2(p[1] - middle[1], p[0] - middle[0]))
    place = turned.index(points[0])
    round_ = turned[place:] + turned[:place]
    if points not in (round_, [round_[0], *round_[:0:-1]]):  # in no order: from the top left
        place = min(range(4), key=lambda n: sum(turned[n]))
        round_ = turned[place:] + turned[:place]
    sides = [math.dist(a, b) for a, b in zip(round_, round_[1:] + round_[:1], strict=True)]
    if min(turns_of(round_)) <= 0 or min(sides) < MIN_TYPED_SIDE_PX:
        raise UsageError(f"the corners '{text}' make no square", "name its four outer corners")
    a, b, c, d = round_
    return a, b, c, d


def _refuse_taken(kept: StoredBundle, cell: tuple[int, int]) -> None:
    label = f"R{cell[0]}C{cell[1]}"
    if label in kept.by_label:
        raise CatalogueError(
            f"{label} is a square of {kept.name} already",
            f"if that lies elsewhere, give it its own place first: "
            f"calicount square place {quoted(kept.name)} {label} R9C9",
        )


def _photo_of_row(
    kept: StoredBundle, photo: int | None, cell: tuple[int, int] | None
) -> StoredPhoto:
    """Return the photo that is named, else the only one that shows squares of that row."""
    if photo is None and cell and len(kept.photos) > 1:
        squares = kept.by_label.values()
        showing = {one.photo for one in squares if one.square.row == cell[0]}
        found = [one for one in kept.photos if one.id in showing]
        if len(found) == 1:
            return found[0]
    return photo_of(kept, photo)


def _proposed(kept: StoredBundle, photo: StoredPhoto, cell: tuple[int, int]) -> Corners:
    from catalog.catalogue.events.drawn_squares import proposed_at

    squares = [one.square for one in kept.by_label.values() if one.photo == photo.id]
    outline = proposed_at(cell, squares)
    inside = outline and all(0 <= x <= photo.wide and 0 <= y <= photo.high for x, y in outline)
    if not outline or not inside:
        where = f"R{cell[0]}C{cell[1]}"
        raise CatalogueError(
            f"{where} lies outside {photo.name}"
            if outline
            else f"too few squares of {photo.name} lie in rows to tell where {where} is",
            "name its four corners with --corners",
        )
    return outline


def _free_cell(kept: StoredBundle, photo: StoredPhoto, outline: Corners) -> tuple[int, int] | None:
    """Return the row and column at which an outline lies, if no square has that place."""
    from catalog.catalogue.events.drawn_squares import cell_at, middle_of

    squares = [one.square for one in kept.by_label.values() if one.photo == photo.id]
    cell = cell_at(middle_of(outline), squares)
    return cell if cell and f"R{cell[0]}C{cell[1]}" not in kept.by_label else None
