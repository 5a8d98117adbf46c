"""The units by the names that people call them, read from the folders of `kinds`.

Every module there that holds a `UnitKind` or a `UnitFamily` is read; no list names them.
"""

from __future__ import annotations

import pkgutil
import re
from collections.abc import Iterator
from difflib import get_close_matches
from functools import cache
from importlib import import_module
from typing import Final

from catalog.cutting.units import kinds
from catalog.cutting.units.cutting_method import Method
from catalog.cutting.units.unit_kind import UnitFamily, UnitKind
from catalog.errors import UsageError
from catalog.phrases import with_article

_NUMBERED: Final = re.compile(r"(.*?)((?:-[0-9]{1,4})*)")


@cache
def all_units() -> dict[str, UnitKind | UnitFamily]:
    """Return every unit by its name, in the order of the folders.

    Raises
    ------
    ValueError
        Two units have one name.
    """
    found: dict[str, UnitKind | UnitFamily] = {}
    for unit in _units_in_folders():
        if found.setdefault(unit.name, unit) is not unit:
            msg = f"expected one unit of a name, got two called {unit.name}"
            raise ValueError(msg)
    return found


def _units_in_folders() -> Iterator[UnitKind | UnitFamily]:
    for module in pkgutil.walk_packages(kinds.__path__, f"{kinds.__name__}."):
        for one in vars(import_module(module.name)).values():
            if isinstance(one, UnitKind | UnitFamily):
                yield one


def usual_units() -> tuple[UnitKind, ...]:
    """Return every unit, of those with numbers the one that its name alone stands for."""
    return tuple(_of(unit, ()) for unit in all_units().values())


def find_unit(text: str) -> UnitKind:
    """Return the unit that a person means: by its name, another that it has, or their plural.

    Raises
    ------
    UsageError
        There is no such unit, or not with these numbers.
    """
    name = "-".join(text.lower().replace("_", " ").replace("-", " ").split())
    found = _found(name)
    if found is not None:
        return found
    known = [*all_units(), *_other_names()]
    near = get_close_matches(name, known, 1)
    cure = "choose one that calicount size --help lists"
    raise UsageError(f'there is no unit "{text}"', f"write {near[0]}, or {cure}" if near else cure)


@cache
def _found(name: str) -> UnitKind | None:
    parts = _NUMBERED.fullmatch(name)
    word, numbers = (parts[1], parts[2]) if parts else (name, "")
    for tried in (word, word.removesuffix("s"), word.removesuffix("es")):
        own = _other_names().get(tried, tried)
        unit = all_units().get(own)
        if isinstance(unit, UnitFamily) or (unit is not None and not numbers):
            return _of(unit, tuple(int(one) for one in numbers.split("-") if one))
    return None


@cache
def _other_names() -> dict[str, str]:
    return {other: unit.name for unit in all_units().values() for other in unit.other_names}


def _of(unit: UnitKind | UnitFamily, numbers: tuple[int, ...]) -> UnitKind:
    return unit.of(numbers) if isinstance(unit, UnitFamily) else unit


def forget_units() -> None:
    """Read the folders anew the next time, as after a unit was put there."""
    for kept in (all_units, _found, _other_names):
        kept.cache_clear()


def unit_name(text: str) -> str:
    """Return the unit's name for what a person wrote.

    Raises
    ------
    UsageError
        There is no such unit.
    """
    return find_unit(text).name


def find_method(unit: str, at_a_time: int | None = None) -> Method:
    """Return the way to make a unit.

    Parameters
    ----------
    unit : str
        Its name, or another name or spelling of it.
    at_a_time : int, optional
        Which of its ways; the usual one if not given.

    Raises
    ------
    UsageError
        There is no such unit, or it isn't made so many at a time.
    """
    return way_of(find_unit(unit), at_a_time)


def way_of(unit: UnitKind, at_a_time: int | None = None) -> Method:
    """Return one of a unit's ways, the usual one unless told.

    Raises
    ------
    UsageError
        It isn't made so many at a time.
    """
    for method in unit.ways:
        if at_a_time in {None, method.at_a_time}:
            return method
    ways = " or ".join(map(str, sorted(method.at_a_time for method in unit.ways)))
    raise UsageError(
        f"{with_article(unit.name)} isn't made {at_a_time} at a time",
        f"use --at-a-time {ways}, or leave it out",
    )
