"""What a person said of pieces of cloth, whichever photo shows them, and did with them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from itertools import combinations
from typing import Final

from catalog.catalogue.events.event_makers import beyond, standing_rules
from catalog.catalogue.events.projected_state import Args, Course
from catalog.catalogue.events.wall_events import hung
from catalog.catalogue.records import Project, ProjectSet


def _one_fabric(course: Course, args: Args) -> None:
    course.fabrics.append(("one", tuple(args["squares"])))


def _own_fabric(course: Course, args: Args) -> None:
    course.fabrics.append(("own", tuple(args["squares"])))


def _name(course: Course, args: Args) -> None:
    course.change(args["squares"], said=args["text"])


def _role(course: Course, args: Args) -> None:
    course.change(args["squares"], role=args["role"])


def _mark(course: Course, args: Args) -> None:
    for number in args["squares"]:
        if number in course.squares:
            marks = [m for m in course.squares[number].marks if m != args["mark"]]
            course.change([number], marks=(*marks, *([args["mark"]] if args["on"] else [])))


def _lock(course: Course, args: Args) -> None:
    for said in args["sets"]:
        one = list(dict.fromkeys(said))
        if len(one) < 2:
            course.notes.append(f"{course.label(one[0])} is one piece of cloth, and no set")
            continue
        course.locks = [lock for lock in course.locks if not set(lock) & set(one)]
        course.locks.append(tuple(one))
        course.forbidden -= {_pair(a, b) for a, b in combinations(one, 2)}


def _unlock(course: Course, args: Args) -> None:
    course.locks = [lock for lock in course.locks if not set(lock) & set(args["squares"])]


def _forbid(course: Course, args: Args) -> None:
    pairs = {_pair(a, b) for a, b in args["pairs"] if a != b}
    course.forbidden |= pairs
    course.locks = [
        lock for lock in course.locks if not pairs & {_pair(a, b) for a, b in combinations(lock, 2)}
    ]


def _allow(course: Course, args: Args) -> None:
    course.forbidden -= {_pair(a, b) for a, b in args["pairs"]}


def _pair(a: int, b: int) -> tuple[int, int]:
    return (a, b) if a < b else (b, a)


def _rules(course: Course, args: Args) -> None:
    course.rules = standing_rules(dict(args))
    course.rule_notes = [
        f"the rules say {name.replace('_', ' ')} {said:g}; as that can't be meant, {limit:g} holds"
        for name, (said, limit) in beyond(args).items()
    ]


def _reserve(course: Course, args: Args) -> None:
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


def _to_be_had(course: Course, number: int) -> bool:
    """Whether a project may take a square; one that has left the bundle keeps its set together."""
    one = course.squares.get(number)
    return one is not None and not one.marks and not one.project


def _stage(course: Course, args: Args) -> None:
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


def _returned(course: Course, args: Args) -> None:
    name, meant = args["project"], set(args["squares"])
    if name not in course.projects:
        return
    project = course.projects[name]
    back = [one for one in project.sets if meant & set(one.squares)]
    course.projects[name] = replace(
        project, sets=tuple(one for one in project.sets if one not in back)
    )
    course.change([n for one in back for n in one.squares], project="", stage=None)


def _hang(course: Course, args: Args) -> None:
    course.wall = hung(course.wall, args)


ON_PIECES: Final[Mapping[str, Callable[[Course, Args], None]]] = {
    "one fabric": _one_fabric,
    "own fabric": _own_fabric,
    "name": _name,
    "role": _role,
    "mark": _mark,
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
"""By kind of deed."""
