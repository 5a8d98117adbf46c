"""``calicount size``: one unit, from its finished size or from the square in hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

import typer

from catalog.errors import EXIT_SHORT
from catalog.lengths import centimetres_shown
from cli import console
from cli.command_class import told_late
from cli.cutting.size_options import SizeOptions
from cli.cutting.size_request import fill
from cli.options import JsonFlag

if TYPE_CHECKING:
    from catalog.cutting.units.unit_kind import UnitKind


def unit_list() -> str:
    """Return every unit by its name, those first that blocks can hold."""
    from catalog.cutting.units.units_by_name import usual_units

    held, other = (
        ", ".join(_listed(unit) for unit in usual_units() if bool(unit.parts) == holds)
        for holds in (True, False)
    )
    return f"{held}; not for blocks of a pattern: {other}"


def _listed(unit: UnitKind) -> str:
    """Name a unit, with the ways to make it where there are several."""
    ways = [str(method.at_a_time) for method in unit.ways]
    return f"{unit.name} ({' or '.join(ways)} at a time)" if len(ways) > 1 else unit.name


@told_late("UNITS", unit_list)
def size(options: SizeOptions, json: JsonFlag = False) -> None:
    """Tell what to cut for a unit, or what a square in hand gives.

    Units: UNITS.

    For example:

    calicount size half-square-triangle --square 5

    calicount size flying-geese --finished 4 --at-a-time 1

    calicount size nine-patch --square "2 1/2" --seam "3/16"

    calicount size hst --square 12.5 --seam 0.6 --cm

    calicount size flying-geese --finished 4 --number 48 --precut "fat quarters"
    """
    with centimetres_shown(options.cm):
        answer = fill(options)
        if json:
            from cli.cutting.size_json import answer_json

            console.say_json(answer_json(answer))
        else:
            from cli.cutting.size_words import answer_lines

            for line in answer_lines(answer):
                console.say(line)
    if answer.reached is not None and answer.reached.short + answer.reached.over > 0:
        raise typer.Exit(EXIT_SHORT)
