"""A photo of the design wall with what was found at each place, and the move to make."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Final

import numpy as np

from catalog.models import MoveKind, Photo, WallCheck, WallMove, mean_side
from catalog.report.pictures.checks.move_marks import (
    draw_arrow,
    draw_cross,
    draw_flip,
    draw_number,
    draw_ring,
    draw_turning_arrow,
)
from catalog.report.pictures.outlines import (
    Pixels,
    Points,
    as_jpeg,
    draw_plate,
    inside,
    shrunk,
)

PlanMap = Mapping[str, tuple[float, float, float, float]]
"""By place x and y of its middle on the quilt, its width and its height, inches."""
MIN_FITTED: Final = 4
"""Places that tell where one must be at which nothing is seen: a homography has 8 unknowns."""
_SHORT: Final[Mapping[MoveKind, str]] = {
    "other set": "other set",
    "stranger": "not in plan",
    "missing": "missing",
    "sides": "swap sides",
    "can't tell": "?",
}


def checked_picture(
    photo: Photo,
    check: WallCheck,
    moves: Sequence[WallMove],
    plan: PlanMap,
    *,
    full: bool = False,
) -> Pixels:
    """Return the photo with each place outlined and the moves drawn.

    What hangs right has a thin line and its place's name. What doesn't has a broad one, the number
    that its move has in the list, and a mark that is told by its shape: an arrow to where it
    belongs, a turning arrow, two arrows that pass each other for cloths on the wrong side, a cross
    for what belongs nowhere, a broken line where nothing hangs or nothing can be told.

    Parameters
    ----------
    photo : Photo
        One of those that were checked.
    check : WallCheck
    moves : sequence of WallMove
        Numbered in their order, from 1.
    plan : mapping
        Where each place lies on the quilt: it tells where an empty one is.
    full : bool
        Whether as large as the photo is.

    Returns
    -------
    array, (height, width, 3), uint8, RGB, else about `LONG_SIDE` on the longer side
    """
    picture, scale = shrunk(photo.pixels, full=full)
    corners = _corners(photo, check, plan, scale)
    wrong = {place for move in moves for place in _marked(move)}
    for place in corners:
        if place not in wrong:
            draw_ring(picture, corners[place], quiet=True)
    told: dict[str, list[str]] = {place: [] for place in corners}
    for move in moves:
        for place in _marked(move):
            told.setdefault(place, []).append(_plate(move, place))
    for move in moves:
        for place in _marked(move):
            if place in corners:
                broken = move.kind in {"missing", "can't tell"}
                draw_ring(picture, corners[place], quiet=False, broken=broken)
    for move in moves:
        _draw_mark(picture, move, corners)
    for place, words in told.items():  # last, so that no arrow crosses a name out
        if place in corners:
            text = ": ".join(filter(None, (place, ", ".join(filter(None, words)))))
            draw_plate(picture, corners[place], (0.03, 0.03), text)
    _draw_numbers(picture, moves, corners)
    return picture


def checked_jpeg(
    photo: Photo,
    check: WallCheck,
    moves: Sequence[WallMove],
    plan: PlanMap,
    *,
    full: bool = False,
) -> bytes:
    """Return `checked_picture` as the bytes of a JPEG file."""
    return as_jpeg(checked_picture(photo, check, moves, plan, full=full))


def _marked(move: WallMove) -> tuple[str, ...]:
    """Return the places that a move marks; one that hangs right is none of them."""
    if move.kind in {"exchange", "round"} or move.onto_empty:
        return move.places
    return move.places[:1]


def _plate(move: WallMove, place: str) -> str:
    """Return what stands at a place beside its name."""
    if move.kind in {"exchange", "round"}:
        goal = move.places[(move.places.index(place) + 1) % len(move.places)]
        return f"to {goal}"
    if move.kind == "bring":
        return f"to {move.places[1]}" if place == move.places[0] else "empty"
    if move.kind == "twice":
        return f"as {move.places[1]}"
    return "" if move.kind == "turn" else _SHORT[move.kind]


def _corners(photo: Photo, check: WallCheck, plan: PlanMap, scale: float) -> dict[str, Points]:
    """Return where each place is in the picture; one where nothing hangs by its neighbours."""
    found = {one.place: np.array(one.outline) * scale for one in check.places
             if one.photo == photo.name and one.outline is not None}  # fmt: skip
    known = [place for place in found if place in plan]
    empty = [
        one.place
        for one in check.places
        if one.state == "missing"
        and one.photo in {"", photo.name}
        and one.place in plan.keys() - found.keys()
    ]
    if not empty or len(known) < MIN_FITTED:
        return found
    import cv2

    source = np.array([_box(plan[place]) for place in known]).reshape(-1, 2)
    target = np.array([found[place] for place in known]).reshape(-1, 2)
    fit, _ = cv2.findHomography(source, target, cv2.RANSAC, 0.1 * mean_side(found[known[0]]))
    for place in empty if fit is not None else ():
        there = cv2.perspectiveTransform(np.array([_box(plan[place])]), fit)[0]
        high, wide = photo.pixels.shape[:2]
        middle = there.mean(axis=0) / scale
        if 0 <= middle[0] < wide and 0 <= middle[1] < high:
            found[place] = np.asarray(there, np.float64)
    return found


def _box(spot: tuple[float, float, float, float]) -> list[tuple[float, float]]:
    x, y, wide, high = spot
    return [(x + a * wide / 2, y + b * high / 2) for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))]


def _draw_mark(picture: Pixels, move: WallMove, corners: Mapping[str, Points]) -> None:
    first = corners.get(move.places[0])
    if move.kind in {"exchange", "round", "bring"}:
        for here, goal in _steps(move):
            if here in corners and goal in corners:
                draw_arrow(picture, corners[here], corners[goal])
    elif first is None:
        return
    elif move.kind == "turn":
        draw_turning_arrow(picture, first, -move.turned_deg % 360)
    elif move.kind == "sides":
        draw_flip(picture, first)
    elif move.kind in {"stranger", "other set", "twice"}:
        draw_cross(picture, first)


def _steps(move: WallMove) -> Iterable[tuple[str, str]]:
    """Return from where to where blocks go."""
    ends = move.places[1:] + (move.places[:1] if move.kind != "bring" else ())
    return zip(move.places, ends, strict=False)


def _draw_numbers(
    picture: Pixels, moves: Sequence[WallMove], corners: Mapping[str, Points]
) -> None:
    """Put each move's number at the lower right of the places that it marks."""
    used: dict[str, int] = {}
    for number, move in enumerate(moves, 1):
        for place in _marked(move):
            if place in corners:
                step = used.get(place, 0)
                used[place] = step + 1
                middle = inside(corners[place], 0.86 - 0.2 * step, 0.86)
                draw_number(picture, middle, max(9.0, 0.085 * mean_side(corners[place])), number)
