"""What a person said of photos and outlines, applied to what the photos said."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Final

from catalog.catalogue.events.drawn_squares import sized
from catalog.catalogue.events.projected_state import Args, Course
from catalog.catalogue.records import KeptSquare, corners_of
from catalog.models import Square, label_of

TAKEN_OUT: Final = "its photo was taken out"


def _not_a_square(course: Course, args: Args) -> None:
    course.change(args["squares"], dropped="not a square")


def _missed(course: Course, args: Args) -> None:
    number, photo = args["square"], args["photo"]
    if number in course.squares:
        return
    near = [s.square for s in course.squares.values() if s.photo == photo and not s.dropped]
    square = sized(corners_of(args["corners"]), near, args["row"], args["col"])
    label = args["labels"].get(number, "")
    loose = replace(square, row=None, col=None)
    dropped = TAKEN_OUT if photo in course.dropped_photos else ""
    course.squares[number] = KeptSquare(number, photo, label, loose, drawn=True, dropped=dropped)
    if args["row"] is not None and args["col"] is not None:
        _settle_in(course, number, square)


def _corners(course: Course, args: Args) -> None:
    one = course.squares.get(args["square"])
    if one is None:
        return
    others = [
        s.square
        for s in course.squares.values()
        if s.photo == one.photo and not s.dropped and s.id != one.id and not s.moved
    ]
    square = sized(corners_of(args["corners"]), others, one.square.row, one.square.col)
    course.change([one.id], square=square, moved=True)


def _place(course: Course, args: Args) -> None:
    one = course.squares.get(args["square"])
    if one is not None:
        square = replace(one.square, row=args["row"], col=args["col"])
        _settle_in(course, one.id, square)


def _settle_in(course: Course, number: int, square: Square) -> None:
    """Give a square its place and label; one that has them already takes its old ones."""
    one = course.squares[number]
    label = label_of(square, 0)
    for other in list(course.squares.values()):
        if other.id != number and other.label == label:
            old = one.square
            given = replace(other.square, row=old.row, col=old.col)
            course.change([other.id], square=given, label=one.label)
    course.change([number], square=square, label=label)


def _same_piece(course: Course, args: Args) -> None:
    joined: dict[int, None] = {}
    for number in args["squares"]:
        piece = next((one for one in course.pieces if number in one), [number])
        joined.update(dict.fromkeys(piece))
    course.pieces = [one for one in course.pieces if not joined.keys() & set(one)]
    course.pieces.append(list(joined))


def stand_ins(course: Course) -> dict[int, int]:
    """Settle which square stands for each piece that is shown twice; give it for the others."""
    stands = {}
    for piece in course.pieces:
        live = [n for n in piece if n in course.squares and not course.squares[n].dropped]
        if live:
            course.change(live[1:], twin_of=live[0])
            stands.update(dict.fromkeys(piece, live[0]))
    return stands


def _white(course: Course, args: Args) -> None:
    course.white = args["square"]


def _grey(course: Course, args: Args) -> None:
    course.grey = args["square"]


def _ground(course: Course, args: Args) -> None:
    course.grounds.pop(args["photo"], None)
    if args["ground"] is not None:
        course.grounds[args["photo"]] = args["ground"]


def _drop_photo(course: Course, args: Args) -> None:
    course.dropped_photos.add(args["photo"])
    gone = [s.id for s in course.squares.values() if s.photo == args["photo"] and not s.dropped]
    course.change(gone, dropped=TAKEN_OUT)


ON_PHOTOS: Final[Mapping[str, Callable[[Course, Args], None]]] = {
    "not a square": _not_a_square,
    "missed": _missed,
    "corners": _corners,
    "place": _place,
    "same piece": _same_piece,
    "white": _white,
    "grey": _grey,
    "ground": _ground,
    "drop photo": _drop_photo,
}
"""By kind of deed."""
