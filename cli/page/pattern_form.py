"""The small form in which a quilter describes a pattern, written as a pattern file.

The file's own reader checks it, so that there is no second rule of what a pattern may be.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from catalog.cutting.units.sizing import size_from_square
from catalog.cutting.units.units_by_name import find_method
from catalog.errors import UsageError
from catalog.phrases import printable
from cli.page.input_checks import is_shown

Form = Mapping[str, Any]

GROUND: Final = "background"
FEATURE: Final = "feature"


@dataclass(frozen=True)
class FormUnit:
    """A way to sew a set of squares into a block of two by two units."""

    name: str
    """Of the unit, as pattern files have it."""
    says: str
    grids: Mapping[int, tuple[str, str]]
    """By the size of the set: letters A to D are its squares, darkest first; G is background."""
    ground: bool = False
    """Whether background is sewn into every unit."""


UNITS: Final = (
    FormUnit(
        "square",
        "squares as they are, in blocks of four",
        {2: ("A G", "G B"), 3: ("A B", "C G"), 4: ("A B", "C D")},
    ),
    FormUnit(
        "half-square-triangle",
        "half-square triangles with background, turned into a pinwheel",
        {2: ("A90 B180", "B A270")},
        ground=True,
    ),
    FormUnit(
        "quarter-square-triangle",
        "quarter-square triangles with background, four hourglasses to a block",
        {2: ("A B90", "B90 A")},
        ground=True,
    ),
)


def units_view() -> list[dict[str, Any]]:
    """Return the ways to sew that the form offers."""
    return [{"name": one.name, "says": one.says, "set_sizes": list(one.grids)} for one in UNITS]


def pattern_text_of(form: Form, side: Fraction, seam: Fraction) -> str:
    """Write what the form says as a pattern file.

    Parameters
    ----------
    form : mapping
        ``title``, ``rows``, ``columns``, ``set_size``, ``unit`` and perhaps ``background``
        (``yardage`` if it is left out, or ``bundle``). What they may be is the reader's to say.
    side, seam : Fraction
        Of the squares in hand and as sewn, inches.

    Raises
    ------
    UsageError
        No such unit, or none for sets of that size.
    """
    unit = next((one for one in UNITS if one.name == form.get("unit")), None)
    if unit is None:
        names = ", ".join(one.name for one in UNITS)
        raise UsageError("the form names no unit that it offers", f"choose one of {names}")
    size = form.get("set_size", 2)
    if isinstance(size, bool) or not isinstance(size, int) or size not in unit.grids:
        sizes = " or ".join(map(str, unit.grids))
        shown = f"{size} squares" if is_shown(size) else "what the page sent"
        raise UsageError(
            f"a block of this kind can't be made of {shown}", f"choose {sizes} in a set"
        )
    made = size_from_square(find_method(unit.name), side, seam=seam)
    return _text(form, unit, size, side, seam, 2 * made.finished)


def _text(
    form: Form, unit: FormUnit, size: int, side: Fraction, seam: Fraction, block: Fraction
) -> str:
    grid = unit.grids[size]
    letters = "ABCD"[:size]
    grounds = size if unit.ground else sum(row.split().count("G") for row in grid)
    lines = [
        f"title = {_value(form.get('title') or 'Your quilt')}",
        'description = "Described in the form."',
        "[layout]",
        f"rows = {_value(form.get('rows'))}",
        f"columns = {_value(form.get('columns'))}",
        f'finished_block = "{block}"',
        f'seam = "{seam}"',
        *_piece("feature", FEATURE, side, size),
        f"match = {size}",
    ]
    if grounds:
        source = _value(form.get("background") or "yardage")
        lines += [*_piece("background", GROUND, side, grounds), f"from = {source}"]
    lines += ["[block]", f"grid = {_value(list(grid))}"]
    for which, letter in enumerate(letters, 1):
        fabrics = [f"{FEATURE} {which}", *([f"{GROUND} {which}"] if unit.ground else [])]
        lines += _unit(letter, unit.name, fabrics)
    if grounds and not unit.ground:
        lines += _unit("G", unit.name, [GROUND])
    return "\n".join(lines) + "\n"


def _piece(role: str, name: str, side: Fraction, each: int) -> list[str]:
    return [f"[[{role}]]", f'name = "{name}"', f'size = "{side}"', f"per_block = {each}"]


def _unit(letter: str, name: str, fabrics: list[str]) -> list[str]:
    return ["[[block.unit]]", f'mark = "{letter}"', f'unit = "{name}"',
            f"fabrics = {_value(fabrics)}"]  # fmt: skip


def _value(value: object) -> str:
    """Write a value as TOML has it, which for these kinds is as JSON has it."""
    if isinstance(value, str):
        return json.dumps(printable(value, " ")[:200])
    return json.dumps(value) if isinstance(value, int | list) else '""'
