"""``calicount reserve``, ``sewn`` and ``return``: squares used up, project by project."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated

import typer

from catalog.errors import EXIT_SHORT, CatalogueError, UsageError
from catalog.phrases import listed
from cli import completion, console
from cli.bundles.named_squares import numbers_of
from cli.bundles.open_bundle import change, quoted
from cli.corrections.said_of_bundle import Catalogue, Event, StoredBundle, events, says
from cli.options import BundleName, Manner, ProjectName

if TYPE_CHECKING:
    from catalog.catalogue.records import Project, Stage
    from catalog.models import Tally

SomeSquares = Annotated[
    list[str] | None,
    typer.Argument(
        help="Squares whose sets are meant; else all of the project.",
        metavar="[SQUARE]...",
        autocompletion=completion.squares,
    ),
]


@dataclass(frozen=True)
class ReservedOptions:
    """What is set aside, by one of these; see `cli.command_class.spread_out`."""

    pattern: Annotated[
        str | None,
        typer.Option(
            help="A pattern; what serves it by a count now is set aside.",
            metavar="NAME|FILE",
            autocompletion=completion.patterns,
        ),
    ] = None
    sets: Annotated[
        str | None,
        typer.Option(
            help="Sets by their numbers in the last count, such as 1,2,5 or 1-4.", metavar="NUMBERS"
        ),
    ] = None
    squares: Annotated[
        list[str] | None,
        typer.Option(
            help="Squares that are a set, such as R1C2+R3C4, or one by itself.", metavar="A+B"
        ),
    ] = None


def reserve(name: BundleName, project: ProjectName, *, by: ReservedOptions, manner: Manner) -> None:
    """Set squares aside for a project; no count uses them then.

    For example:

    calicount reserve blues "table runner" --pattern pinwheel

    calicount reserve blues "table runner" --sets 1,2,5

    calicount reserve blues "table runner" --squares R1C2+R3C4
    """
    from cli.corrections.reserving import by_numbers, by_pattern, by_squares

    ways = [way for way in (by.pattern, by.sets, by.squares) if way]
    if len(ways) != 1:
        raise UsageError(
            "one of --pattern, --sets and --squares tells what to set aside",
            "leave the others out" if ways else "add one of them",
        )
    tallies: list[Tally] = []

    def chosen(opened: Catalogue, kept: StoredBundle) -> list[Event]:
        if by.pattern:
            event, tally = by_pattern(kept, project, by.pattern, manner.catalogue)
            tallies[:] = [tally]
            return [event]
        if by.sets:
            return [by_numbers(opened, kept, project, by.sets)]
        return [by_squares(kept, project, by.squares or [])]

    change(name, manner, chosen)
    if tallies and not tallies[-1].enough:
        short = sum(line.short for line in tallies[-1].lines)
        console.complain(
            f"{tallies[-1].title}: {short} short; what there is of it has been set aside."
        )
        raise typer.Exit(EXIT_SHORT)


@says
def sewn(
    kept: StoredBundle,
    project: ProjectName,
    labels: SomeSquares = None,
    off: Annotated[
        bool, typer.Option("--off", help="Not sewn after all, but still set aside.", metavar="")
    ] = False,
) -> Event:
    """Mark a project's sets as sewn, all or those that the squares are in.

    For example:

    calicount sewn blues "table runner"

    calicount sewn blues "table runner" R1C2 R2C2
    """
    found = _project(kept, project)
    stage: Stage = "reserved" if off else "sewn"
    return events.ProjectStage(found.name, _meant(kept, found, labels), stage)


@says
def return_(kept: StoredBundle, project: ProjectName, labels: SomeSquares = None) -> Event:
    """Give back to the bundle what a project did not use.

    Without squares, all sets that aren't sewn go back.

    For example:

    calicount return blues "table runner"

    calicount return blues "table runner" R1C2
    """
    found = _project(kept, project)
    numbers = _meant(kept, found, labels) if labels else _unsewn(kept, found)
    return events.ReturnedSets(found.name, numbers)


def _project(kept: StoredBundle, name: str) -> Project:
    """Return a project that has squares, its name in any case.

    Raises
    ------
    CatalogueError
        There is none.
    """
    said = " ".join(name.split()).casefold()
    using = {one.name: one for one in kept.state.projects.values() if one.sets}
    found = next((one for one in using.values() if one.name.casefold() == said), None)
    if found is not None:
        return found
    if not using:
        raise CatalogueError(
            f"nothing of {kept.name} is set aside for '{name}', nor for anything else",
            f"calicount reserve {quoted(kept.name)} sets squares aside",
        )
    raise CatalogueError(
        f"nothing of {kept.name} is set aside for '{name}'",
        f"there is something for {listed(sorted(using))}",
    )


def _meant(kept: StoredBundle, project: Project, labels: list[str] | None) -> tuple[int, ...]:
    """Return the squares meant, all of the project where none is named."""
    own = tuple(number for one in project.sets for number in one.squares)
    if not labels:
        return own
    numbers = numbers_of(kept, labels)
    strange = [kept.label(number) for number in numbers if number not in own]
    if strange:
        raise CatalogueError(
            f"{listed(strange)} {'is' if len(strange) == 1 else 'are'} not set aside "
            f"for {project.name}",
            f"calicount show {quoted(kept.name)} names what is",
        )
    return numbers


def _unsewn(kept: StoredBundle, project: Project) -> tuple[int, ...]:
    found = tuple(n for one in project.sets if one.stage != "sewn" for n in one.squares)
    if not found:
        raise CatalogueError(
            f"all that {project.name} has of {kept.name} is sewn",
            "name squares to give them back all the same",
        )
    return found
