"""The units by the names that the command knows."""

from __future__ import annotations

from collections.abc import Callable
from difflib import get_close_matches
from typing import Final

from catalog.cutting.units import (
    corner_squares,
    flying_geese,
    patchwork,
    setting_triangles,
    triangles,
)
from catalog.cutting.units.cutting_method import Method
from catalog.errors import UsageError

UNITS: Final[dict[str, tuple[Callable[[], Method], ...]]] = {
    "square": (patchwork.square,),
    "half-square-triangle": (
        triangles.half_square_triangles_two,
        triangles.half_square_triangles_four,
        triangles.half_square_triangles_eight,
    ),
    "half-square-triangle-strips": (triangles.half_square_triangles_strips,),
    "quarter-square-triangle": (triangles.quarter_square_triangles,),
    "flying-geese": (flying_geese.flying_geese_four, flying_geese.flying_geese_one),
    "square-in-a-square": (corner_squares.square_in_a_square,),
    "square-in-a-square-triangles": (corner_squares.square_in_a_square_triangles,),
    "square-in-a-square-quarters": (corner_squares.square_in_a_square_quarters,),
    "flipped-corners": (corner_squares.thirds,),
    "octagon": (corner_squares.octagon,),
    "four-patch": (patchwork.four_patch,),
    "four-patch-strips": (patchwork.four_patch_strips,),
    "nine-patch": (patchwork.nine_patch,),
    "nine-patch-strips": (patchwork.nine_patch_strips,),
    "quartered-nine-patch": (patchwork.quartered_nine_patch,),
    "setting-triangle": (setting_triangles.setting_triangle,),
    "corner-triangle": (setting_triangles.corner_triangle,),
}
"""The ways of each unit, the usual first. A rectangle, which has two sizes, is made by
`patchwork.rectangle`."""

OTHER_NAMES: Final = {
    "hst": "half-square-triangle",
    "qst": "quarter-square-triangle",
    "hourglass": "quarter-square-triangle",
    "snowball": "flipped-corners",
    "side-triangle": "setting-triangle",
}
"""What else the trade calls them."""


def unit_name(text: str) -> str:
    """Return the unit's name for what a person wrote.

    Raises
    ------
    UsageError
        There is no such unit.
    """
    name = "-".join(text.lower().replace("_", " ").replace("-", " ").split())
    known = [*UNITS, "rectangle", *OTHER_NAMES]
    for tried in (name, name.removesuffix("s"), name.removesuffix("es")):
        if tried in known:
            return OTHER_NAMES.get(tried, tried)
    near = get_close_matches(name, known, 1)
    cure = "choose one that calicount size --help lists"
    raise UsageError(f'there is no unit "{text}"', f"write {near[0]}, or {cure}" if near else cure)


def find_method(unit: str, at_a_time: int | None = None) -> Method:
    """Return the way to make a unit.

    Parameters
    ----------
    unit : str
        One of `UNITS`, or another name or spelling of it.
    at_a_time : int, optional
        Which of its ways; the usual one if not given.

    Raises
    ------
    UsageError
        There is no such unit, or it isn't made so many at a time.
    """
    name = unit_name(unit)
    if name == "rectangle":
        raise UsageError("a rectangle has two sizes", "give both, as in 4 x 2")
    methods = [make() for make in UNITS[name]]
    for method in methods:
        if at_a_time in {None, method.at_a_time}:
            return method
    ways = " or ".join(str(method.at_a_time) for method in sorted(methods, key=_at_a_time))
    raise UsageError(
        f"a {name} isn't made {at_a_time} at a time", f"use --at-a-time {ways}, or leave it out"
    )


def _at_a_time(method: Method) -> int:
    return method.at_a_time
