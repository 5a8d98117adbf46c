"""What the photos said, and all that a person said since, to the bundle as it stands."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from catalog.catalogue.events.event_makers import renumbered
from catalog.catalogue.events.photo_events import ON_PHOTOS, TAKEN_OUT, stand_ins
from catalog.catalogue.events.piece_events import ON_PIECES
from catalog.catalogue.events.projected_state import Course
from catalog.catalogue.records import Deed, KeptSquare, SeenSquare, State

KINDS = frozenset({*ON_PHOTOS, *ON_PIECES})


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
    course = Course()
    for one in seen:
        if one.square is not None:
            course.squares[one.id] = KeptSquare(one.id, one.photo, one.label, one.square)
    labels = {one.id: one.label for one in seen}
    holding = [deed for deed in deeds if not deed.undone]
    for deed in holding:
        if deed.kind in ON_PHOTOS:
            ON_PHOTOS[deed.kind](course, {**deed.args, "labels": labels})
    stands = stand_ins(course)
    for deed in holding:
        if deed.kind not in ON_PHOTOS:
            ON_PIECES[deed.kind](course, renumbered(deed.args, lambda n: stands.get(n, n)))
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


def _hold(course: Course) -> None:
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
        named = " + ".join(course.label(n) for n in lock)
        why = ", ".join(_loss(course, n) for n in lost)
        course.notes.append(f"the lock on {named} can no longer hold: {why}")
    course.locks = kept
    course.notes += course.rule_notes
    for project in course.projects.values():
        for member in (n for one in project.sets for n in one.squares):
            if member in course.squares and course.squares[member].dropped:
                why = course.squares[member].dropped
                said = f"{course.label(member)}, which {project.name} has, is out of the bundle"
                course.notes.append(f"{said}: {why}")
    for word, number in (("white", course.white), ("grey", course.grey)):
        if number is not None and (number not in course.squares or course.squares[number].dropped):
            course.notes.append(f"{course.label(number)} can no longer tell what is {word}")
            setattr(course, word, None)


def _loss(course: Course, number: int) -> str:
    label = course.label(number)
    if number not in course.squares:
        return f"{label} is not there"
    why = course.squares[number].why_not_free
    return f"the photo of {label} was taken out" if why == TAKEN_OUT else f"{label} is {why}"
