"""What may be typed for a check of the wall."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Final

import typer

from catalog.errors import UsageError
from cli.options import ArrangementOption, PatternOption, ReferenceBarOption, SeamOption, length

CHECKED: Final = "checked"
"""Stem of the pictures' names."""
TABLE: Final = "wall_check.csv"
UNITS_TABLE: Final = "units.csv"
TAKEN_FILES: Final = ("wall.csv", "wall.jpg")
"""Written where the plan was made to follow the wall."""


class TickChoice(StrEnum):
    """Whether the sewing list is ticked by the photo without asking."""

    yes = "yes"
    no = "no"


@dataclass(frozen=True)
class CheckingOptions:
    """By which plan the wall should hang, and what to do about it."""

    plan: Annotated[
        Path | None,
        typer.Option(
            help="The wall.csv by which it hangs; else the plan that the bundle has now.",
            metavar="FILE",
        ),
    ] = None
    pattern: PatternOption = None
    project: Annotated[
        str | None,
        typer.Option(help="The project whose sets hang; else those of the last count."),
    ] = None
    order: ArrangementOption = None
    seam: SeamOption = None
    take_as_is: Annotated[
        bool,
        typer.Option("--take-as-is", help="Let the plan follow the wall as it hangs.", metavar=""),
    ] = False
    tick: Annotated[
        TickChoice | None,
        typer.Option(help="Tick what is sewn on the sewing list, or don't; else you are asked."),
    ] = None
    units: Annotated[
        bool,
        typer.Option(
            "--units",
            help="The photo shows trimmed units laid in rows: measure them instead.",
            metavar="",
        ),
    ] = False
    trim_to: Annotated[
        str | None, length("What the units are trimmed to; else what the pattern says.")
    ] = None
    reference_bar: ReferenceBarOption = None

    def check(self) -> None:
        """Refuse what can't be meant together, before anything is looked at.

        Raises
        ------
        UsageError
        """
        if self.plan is not None:
            why = "is for the plan that the bundle has, and --plan brings its own"
            yes = self.tick is TickChoice.yes
            _refuse(why, project=self.project, order=self.order, take_as_is=self.take_as_is)
            _refuse(why, tick=yes)
        if self.units:
            why = "is for a wall, and --units measures what isn't sewn in yet"
            _refuse(why, plan=self.plan, take_as_is=self.take_as_is, tick=self.tick)
        else:
            why = "is for measuring units, and --units isn't there"
            _refuse(why, trim_to=self.trim_to, reference_bar=self.reference_bar)


def _refuse(why: str, **given: object) -> None:
    """Refuse the first option that was given."""
    for option, typed in given.items():
        if typed:
            name = option.replace("_", "-")
            raise UsageError(f"--{name} {why}", "leave it out")
