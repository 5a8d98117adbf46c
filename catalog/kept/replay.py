"""What the photos said, and all that a person said since, to the bundle as it stands."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations
from typing import Any

from catalog.kept.deeds import renumbered, standing_rules
from catalog.kept.hanging import hung
from catalog.kept.models import (
    Deed,
    KeptSquare,
    Project,
    ProjectSet,
    SeenSquare,
    StandingRules,
    State,
    corners_of,
)
from catalog.kept.sizes import sized
from catalog.models import Ground, Square, label_of

Args = Mapping[str, Any]

TAKEN_OUT = "its photo was taken out"


@dataclass
class _Course:
    """The state while deeds are applied."""

    squares: dict[int, KeptSquare] = field(default_factory=dict)
    fabrics: list[tuple[Any, tuple[int, ...]]] = field(default_factory=list)
    locks: list[tuple[int, ...]] = field(default_factory=list)
    forbidden: set[tuple[int, int]] = field(default_factory=set)
    white: int | None = None
    grey: int | None = None
    grounds: dict[int, Ground] = field(default_factory=dict)
    rules: StandingRules = field(default_factory=StandingRules)
    projects: dict[str, Project] = field(default_factory=dict)
    dropped_photos: set[int] = field(default_factory=set)
    pieces: list[list[int]] = field(default_factory=list)
    """Squares that are one piece of cloth each, the one that stands for it first."""
    wall: dict[str, Any] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)

    def change(self, numbers: Iterable[int], **new: Any) -> None:  # noqa: ANN401 - any field
        """Replace fields of squares; those that aren't there (their deed was undone) pass."""
        for number in numbers:
            if number in self.squares:
                self.squares[number] = replace(self.squares[number], **new)


def replay(seen: Sequence[SeenSquare], deeds: Iterable[Deed]) -> State:
    """Apply what holds of a person's deeds to what the photos said.

    Parameters
    ----------
    seen : sequence of SeenSquare
        All squares that ever came into the bundle.
    deeds : iterable of Deed
        In the order in which they were done; those undone are passed over.

    Returns
    -------
    State
        Its ``notes`` tell what can no longer hold, such as a lock on a square that was cut since.

    Notes
    -----
    What is said of photos and outlines comes first, as it was done; then what is said of pieces of
    cloth, which holds of a piece whichever of its squares was named.
    """
    course = _Course()
    for one in seen:
        if one.square is not None:
            course.squares[one.id] = KeptSquare(one.id, one.photo, one.label, one.square)
    labels = {one.id: one.label for one in seen}
    holding = [deed for deed in deeds if not deed.undone]
    for deed in holding:
        if deed.kind in _OF_PHOTOS:
            _APPLY[deed.kind](course, {**deed.args, "labels": labels})
    stands = _stand_ins(course)
    for deed in holding:
        if deed.kind not in _OF_PHOTOS:
            _APPLY[deed.kind](course, renumbered(deed.args, lambda n: stands.get(n, n)))
    _hold(course)
    return State(
        squares=course.squares,
        fabrics=tuple(course.fabrics),
        locks=tuple(course.locks),
        forbidden=tuple(sorted(course.forbidden)),
        white=course.white,
        grey=course.grey,
        grounds=course.grounds,
        rules=course.rules,
        projects=course.projects,
        dropped_photos=frozenset(course.dropped_photos),
        wall=course.wall,
        notes=tuple(course.notes),
    )


def _not_a_square(course: _Course, args: Args) -> None:
    course.change(args["squares"], dropped="not a square")


def _missed(course: _Course, args: Args) -> None:
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


def _corners(course: _Course, args: Args) -> None:
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


def _place(course: _Course, args: Args) -> None:
    one = course.squares.get(args["square"])
    if one is not None:
        square = replace(one.square, row=args["row"], col=args["col"])
        _settle_in(course, one.id, square)


def _settle_in(course: _Course, number: int, square: Square) -> None:
    """Give a square its place and label; one that has them already takes its old ones."""
    one = course.squares[number]
    label = label_of(square, 0)
    for other in list(course.squares.values()):
        if other.id != number and other.label == label:
            old = one.square
            given = replace(other.square, row=old.row, col=old.col)
            course.change([other.id], square=given, label=one.label)
    course.change([number], square=square, label=label)


def _one_fabric(course: _Course, args: Args) -> None:
    course.fabrics.append(("one", tuple(args["squares"])))


def _own_fabric(course: _Course, args: Args) -> None:
    course.fabrics.append(("own", tuple(args["squares"])))


def _name(course: _Course, args: Args) -> None:
    course.change(args["squares"], said=args["text"])


def _role(course: _Course, args: Args) -> None:
    course.change(args["squares"], role=args["role"])


def _mark(course: _Course, args: Args) -> None:
    for number in args["squares"]:
        if number in course.squares:
            marks = [m for m in course.squares[number].marks if m != args["mark"]]
            course.change([number], marks=(*marks, *([args["mark"]] if args["on"] else [])))


def _same_piece(course: _Course, args: Args) -> None:
    joined: dict[int, None] = {}
    for number in args["squares"]:
        piece = next((one for one in course.pieces if number in one), [number])
        joined.update(dict.fromkeys(piece))
    course.pieces = [one for one in course.pieces if not joined.keys() & set(one)]
    course.pieces.append(list(joined))


def _stand_ins(course: _Course) -> dict[int, int]:
    """Settle which square stands for each piece that is shown twice; give it for the others."""
    stands = {}
    for piece in course.pieces:
        live = [n for n in piece if n in course.squares and not course.squares[n].dropped]
        if live:
            course.change(live[1:], twin_of=live[0])
            stands.update(dict.fromkeys(piece, live[0]))
    return stands


def _white(course: _Course, args: Args) -> None:
    course.white = args["square"]


def _grey(course: _Course, args: Args) -> None:
    course.grey = args["square"]


def _ground(course: _Course, args: Args) -> None:
    course.grounds.pop(args["photo"], None)
    if args["ground"] is not None:
        course.grounds[args["photo"]] = args["ground"]


def _drop_photo(course: _Course, args: Args) -> None:
    course.dropped_photos.add(args["photo"])
    gone = [s.id for s in course.squares.values() if s.photo == args["photo"] and not s.dropped]
    course.change(gone, dropped=TAKEN_OUT)


def _lock(course: _Course, args: Args) -> None:
    for said in args["sets"]:
        one = list(dict.fromkeys(said))
        if len(one) < 2:
            course.notes.append(f"{_label(course, one[0])} is one piece of cloth, and no set")
            continue
        course.locks = [lock for lock in course.locks if not set(lock) & set(one)]
        course.locks.append(tuple(one))
        course.forbidden -= {_pair(a, b) for a, b in combinations(one, 2)}


def _unlock(course: _Course, args: Args) -> None:
    course.locks = [lock for lock in course.locks if not set(lock) & set(args["squares"])]


def _forbid(course: _Course, args: Args) -> None:
    pairs = {_pair(a, b) for a, b in args["pairs"] if a != b}
    course.forbidden |= pairs
    course.locks = [
        lock for lock in course.locks if not pairs & {_pair(a, b) for a, b in combinations(lock, 2)}
    ]


def _allow(course: _Course, args: Args) -> None:
    course.forbidden -= {_pair(a, b) for a, b in args["pairs"]}


def _pair(a: int, b: int) -> tuple[int, int]:
    return (a, b) if a < b else (b, a)


def _rules(course: _Course, args: Args) -> None:
    course.rules = standing_rules(dict(args))


def _reserve(course: _Course, args: Args) -> None:
    name = args["project"]
    old = course.projects.get(name, Project(name))
    fresh: list[tuple[int, ...]] = []
    for said in args["sets"]:
        one = tuple(dict.fromkeys(said))
        if one and all(_to_be_had(course, n) for n in one):
            fresh.append(one)
            course.change(one, project=name, stage="reserved")
    sets = (*old.sets, *(ProjectSet(one) for one in fresh))
    course.projects[name] = Project(name, args["pattern"] or old.pattern, sets)
    lost = len(args["sets"]) - len(fresh)
    if lost:
        course.notes.append(f"{lost} of the sets reserved for {name} can no longer be had")


def _to_be_had(course: _Course, number: int) -> bool:
    """Whether a project may take a square; one that has left the bundle keeps its set together."""
    one = course.squares.get(number)
    return one is not None and not one.marks and not one.project


def _stage(course: _Course, args: Args) -> None:
    name, meant = args["project"], set(args["squares"])
    if name not in course.projects:
        return
    project = course.projects[name]
    sets = tuple(
        replace(one, stage=args["stage"]) if meant & set(one.squares) else one
        for one in project.sets
    )
    course.projects[name] = replace(project, sets=sets)
    changed = [n for one in sets if meant & set(one.squares) for n in one.squares]
    course.change(changed, stage=args["stage"])


def _returned(course: _Course, args: Args) -> None:
    name, meant = args["project"], set(args["squares"])
    if name not in course.projects:
        return
    project = course.projects[name]
    back = [one for one in project.sets if meant & set(one.squares)]
    course.projects[name] = replace(
        project, sets=tuple(one for one in project.sets if one not in back)
    )
    course.change([n for one in back for n in one.squares], project="", stage=None)


def _hang(course: _Course, args: Args) -> None:
    course.wall = hung(course.wall, args)


def _hold(course: _Course) -> None:
    """Let go of what can no longer hold, and say so."""
    kept = []
    taken = [set(one.squares) for project in course.projects.values() for one in project.sets]
    for lock in course.locks:
        if any(one >= set(lock) for one in taken):
            continue  # the set has gone to a project whole, as it was meant to
        lost = [n for n in lock if n not in course.squares or not course.squares[n].free]
        if not lost:
            kept.append(lock)
            continue
        named = " + ".join(_label(course, n) for n in lock)
        why = ", ".join(f"{_label(course, n)} is {_why(course, n)}" for n in lost)
        course.notes.append(f"the lock on {named} can no longer hold: {why}")
    course.locks = kept
    for project in course.projects.values():
        for member in (n for one in project.sets for n in one.squares):
            if member in course.squares and course.squares[member].dropped:
                why = course.squares[member].dropped
                said = f"{_label(course, member)}, which {project.name} has, is out of the bundle"
                course.notes.append(f"{said}: {why}")
    for word, number in (("white", course.white), ("grey", course.grey)):
        if number is not None and (number not in course.squares or course.squares[number].dropped):
            course.notes.append(f"{_label(course, number)} can no longer tell what is {word}")
            setattr(course, word, None)


def _label(course: _Course, number: int) -> str:
    return course.squares[number].label if number in course.squares else "a square taken back"


def _why(course: _Course, number: int) -> str:
    return course.squares[number].why_not_free if number in course.squares else "not there"


_OF_PHOTOS = frozenset(
    ("not a square", "missed", "corners", "place", "same piece", "white", "grey", "ground",
     "drop photo")
)  # fmt: skip
_APPLY: Mapping[str, Callable[[_Course, Args], None]] = {
    "not a square": _not_a_square,
    "missed": _missed,
    "corners": _corners,
    "place": _place,
    "one fabric": _one_fabric,
    "own fabric": _own_fabric,
    "name": _name,
    "role": _role,
    "mark": _mark,
    "same piece": _same_piece,
    "white": _white,
    "grey": _grey,
    "ground": _ground,
    "drop photo": _drop_photo,
    "lock": _lock,
    "swap": _lock,
    "unlock": _unlock,
    "forbid": _forbid,
    "take apart": _forbid,
    "allow": _allow,
    "rules": _rules,
    "reserve": _reserve,
    "stage": _stage,
    "returned": _returned,
    "hang": _hang,
}
KINDS = frozenset(_APPLY)
