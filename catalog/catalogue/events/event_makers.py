"""What a person can say or do about a bundle: one function for each, which makes the deed.

A deed is a correction or a use, never a change of what the photo said: `projection`
applies all that hold to what the photos said, so each can be undone by itself. Squares are meant
by their number in the catalogue, so that a label that changes hands never moves a correction.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import asdict, fields
from typing import Any, Final

from catalog import rule_limits
from catalog.catalogue.records import MARKS, Deed, Mark, Stage, StandingRules
from catalog.errors import CatalogueError
from catalog.models import BundleRole, Corners, Ground


def not_squares(squares: Iterable[int]) -> Deed:
    """These are no squares of the bundle."""
    return Deed("not a square", {"squares": list(squares)})


def missed(photo: int, square: int, corners: Corners, row: int | None, col: int | None) -> Deed:
    """A square that the photo shows and the tool missed.

    ``square`` is 0 until the catalogue gives it a number.
    """
    return Deed("missed", {"photo": photo, "square": square, "corners": _plain(corners),
                           "row": row, "col": col})  # fmt: skip


def moved(square: int, corners: Corners) -> Deed:
    """A square's corners lie elsewhere."""
    return Deed("corners", {"square": square, "corners": _plain(corners)})


def placed(square: int, row: int, col: int) -> Deed:
    """A square lies in another row and column; one that is there already changes places with it."""
    if row < 1 or col < 1:
        raise CatalogueError(f"there is no row {row} and column {col}", "count both from 1")
    return Deed("place", {"square": square, "row": row, "col": col})


def one_fabric(squares: Iterable[int]) -> Deed:
    """These are cut from one fabric, and so is what was taken for the same as any of them."""
    return Deed("one fabric", {"squares": _several(squares)})


def own_fabric(squares: Iterable[int]) -> Deed:
    """These are a fabric of their own."""
    return Deed("own fabric", {"squares": list(squares)})


def named(squares: Iterable[int], text: str) -> Deed:
    """A person's name for squares; an empty one takes it away."""
    return Deed("name", {"squares": list(squares), "text": " ".join(text.split())[:80]})


def role(squares: Iterable[int], said: BundleRole) -> Deed:
    """What squares are for."""
    return Deed("role", {"squares": list(squares), "role": said})


def marked(squares: Iterable[int], mark: Mark, *, on: bool = True) -> Deed:
    """Squares are damaged, wrong side up, held back or cut; or no longer."""
    if mark not in MARKS:
        raise CatalogueError(f"'{mark}' is no mark", f"use one of {', '.join(MARKS)}")
    return Deed("mark", {"squares": list(squares), "mark": mark, "on": on})


def same_piece(first: int, second: int) -> Deed:
    """Two squares of overlapping photos are one piece of cloth; the first stands for it."""
    return Deed("same piece", {"squares": _several((first, second))})


def white(square: int | None) -> Deed:
    """Say which square is white cloth; None for none."""
    return Deed("white", {"square": square})


def grey(square: int | None) -> Deed:
    """Say which square is a neutral grey; None for none."""
    return Deed("grey", {"square": square})


def ground(photo: int, said: Ground | None) -> Deed:
    """What the squares of a photo lie on; None leaves it to its looks."""
    return Deed("ground", {"photo": photo, "ground": said})


def drop_photo(photo: int) -> Deed:
    """Take a photo, and with it its squares, out of the bundle."""
    return Deed("drop photo", {"photo": photo})


def lock(squares: Iterable[int]) -> Deed:
    """These are a set."""
    return Deed("lock", {"sets": [_several(squares)]})


def unlock(squares: Iterable[int]) -> Deed:
    """Sets with these need not stay together."""
    return Deed("unlock", {"squares": list(squares)})


def forbid(pairs: Iterable[Sequence[int]]) -> Deed:
    """Two squares each that must not be in one set."""
    return Deed("forbid", {"pairs": [_several(pair) for pair in pairs]})


def allow(pairs: Iterable[Sequence[int]]) -> Deed:
    """Two squares each that may be in one set again."""
    return Deed("allow", {"pairs": [_several(pair) for pair in pairs]})


def take_apart(squares: Sequence[int]) -> Deed:
    """A set that is not to be: no two of its squares may be together."""
    several = _several(squares)
    pairs = [[a, b] for place, a in enumerate(several) for b in several[place + 1 :]]
    return Deed("take apart", {"squares": several, "pairs": pairs})


def swap(first: Sequence[int], second: Sequence[int], a: int, b: int) -> Deed:
    """Square ``a`` of the first set and ``b`` of the second change places, and both sets stay."""
    if a not in first or b not in second or a in second:
        raise CatalogueError("these two are not in two sets", "name one square of each of two sets")
    sets = [[b if s == a else s for s in first], [a if s == b else s for s in second]]
    return Deed("swap", {"sets": sets, "squares": [a, b]})


LIMITED: Final[Mapping[str, rule_limits.Limits]] = {
    "tolerance": rule_limits.TOLERANCE,
    "least_step": rule_limits.STEP,
    "most_step": rule_limits.STEP,
    "lightness_weight": rule_limits.LIGHTNESS_WEIGHT,
    "families": rule_limits.FAMILIES,
}
"""Rules that are numbers between limits."""


def rules(said: StandingRules) -> Deed:
    """How sets are chosen from now on."""
    return Deed("rules", asdict(said))


def reserve(project: str, sets: Iterable[Sequence[int]], pattern: str = "") -> Deed:
    """Set squares aside for a project, set by set."""
    name = project_name(project)
    chosen = [list(one) for one in sets]
    if not any(chosen):
        raise CatalogueError(f"nothing was chosen for {name}", "name sets or squares")
    return Deed("reserve", {"project": name, "sets": chosen, "pattern": pattern})


def sewn(project: str, squares: Iterable[int]) -> Deed:
    """Sets with these squares are sewn."""
    return _staged(project, squares, "sewn")


def unsewn(project: str, squares: Iterable[int]) -> Deed:
    """Sets with these squares are not sewn after all, but still set aside."""
    return _staged(project, squares, "reserved")


def returned(project: str, squares: Iterable[int]) -> Deed:
    """Sets with these squares go back to the bundle."""
    return Deed("returned", {"project": project_name(project), "squares": list(squares)})


def next_undone(deeds: Sequence[Deed], number: int | None = None) -> Deed | None:
    """Return what undoing takes back: the last deed that holds, or the one of a number."""
    holding = [one for one in deeds if not one.undone and number in {None, one.number}]
    return holding[-1] if holding else None


def next_redone(deeds: Sequence[Deed], number: int | None = None) -> Deed | None:
    """Return what was undone last, if nothing was done since; or the deed of a number."""
    gone = [one for one in deeds if one.undone]
    if number is None:
        last = max((one.made for one in deeds if not one.undone), default=0)
        gone = [one for one in gone if one.undone > last]
    else:
        gone = [one for one in gone if one.number == number]
    return max(gone, key=lambda one: (one.undone, -one.number), default=None)


def project_name(text: str) -> str:
    """Return a project's name, fit to be kept.

    Raises
    ------
    CatalogueError
        There is nothing of it.
    """
    name = " ".join(text.split())[:80]
    if not name:
        raise CatalogueError("a project without a name can't be kept", "give it one")
    return name


def standing_rules(args: object) -> StandingRules:
    """Return rules from a deed's arguments, passing over what this version doesn't know.

    Numbers beyond the limits, which earlier versions took, come as the limits that they exceed.
    """
    known = {one.name for one in fields(StandingRules)}
    given = args if isinstance(args, dict) else {}
    kept = {key: value for key, value in given.items() if key in known}
    return StandingRules(**{**kept, **{key: limit for key, (_, limit) in beyond(kept).items()}})


def beyond(args: Mapping[str, Any]) -> dict[str, tuple[float, float]]:
    """Return by name the numbers of rules that go beyond their limits, with the limits."""
    return {
        key: (args[key], within.nearest(args[key]))
        for key, within in LIMITED.items()
        if args.get(key) is not None and not within.hold(args[key])
    }


def renumbered(
    args: Mapping[str, Any],
    square: Callable[[int], int],
    photo: Callable[[int], int] = lambda number: number,
) -> dict[str, Any]:
    """Return a deed's arguments with squares and photos under other numbers."""
    by = {"square": square, "squares": square, "sets": square, "pairs": square, "photo": photo}
    return {key: _numbers(value, by[key]) if key in by else value for key, value in args.items()}


def _numbers(value: Any, number: Callable[[int], int]) -> Any:  # noqa: ANN401 - nested lists
    if isinstance(value, list | tuple):
        return [_numbers(one, number) for one in value]
    return number(value) if isinstance(value, int) and value else value


def _staged(project: str, squares: Iterable[int], stage: Stage) -> Deed:
    return Deed("stage", {"project": project_name(project), "squares": list(squares),
                          "stage": stage})  # fmt: skip


def _several(squares: Iterable[int]) -> list[int]:
    several = list(dict.fromkeys(squares))
    if len(several) < 2:
        raise CatalogueError("that takes at least two squares", "name two different ones")
    return several


def _plain(corners: Corners) -> list[list[float]]:
    """Round corners, and put them in the order that is clockwise in the picture."""
    points = [[round(float(x), 2), round(float(y), 2)] for x, y in corners]
    turns = [_turn(*(points[(place + step) % 4] for step in range(3))) for place in range(4)]
    if all(turn < 0 for turn in turns):
        return [points[0], *reversed(points[1:])]
    if not all(turn > 0 for turn in turns):
        raise CatalogueError(
            "those four points are no corners of a square",
            "give them in order round the square, beginning at its top left",
        )
    return points


def _turn(a: Sequence[float], b: Sequence[float], c: Sequence[float]) -> float:
    """Return twice the area of a triangle, positive where it goes round clockwise in a picture."""
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
