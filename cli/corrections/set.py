"""``calicount set``: sets that stay, sets that are not to be, squares that change places."""

from __future__ import annotations

from typing import Annotated

import typer

from catalog.errors import CatalogueError, UsageError
from cli import completion
from cli.bundles.named_squares import number_of, numbers_of, refuse_used, squares_of
from cli.bundles.open_bundle import quoted
from cli.corrections.said_of_bundle import Catalogue, Event, StoredBundle, events, says
from cli.options import OtherSquare, SquareLabel, SquareLabels

OnlySquares = Annotated[
    list[str] | None,
    typer.Option(
        "--only",
        help="Only the set that this square is in; more can be named.",
        metavar="SQUARE",
        autocompletion=completion.squares,
    ),
]

sets = typer.Typer(no_args_is_help=True, help="Keep sets together, apart, or swap their squares.")


@sets.command("lock")
@says
def lock(kept: StoredBundle, labels: SquareLabels) -> Event:
    """Keep squares together as a set, whatever else is chosen.

    For example:

    calicount set lock blues R1C2 R3C4
    """
    squares = squares_of(kept, labels)
    for square in squares:
        refuse_used(square)
    if not 2 <= len(squares) <= 4:
        raise CatalogueError(
            f"{len(squares)} {'square makes' if len(squares) == 1 else 'squares make'} no set",
            "lock 2, 3 or 4 together",
        )
    return events.LockedSets((tuple(square.id for square in squares),))


@sets.command("unlock")
@says
def unlock(kept: StoredBundle, labels: SquareLabels) -> Event:
    """Let locked sets go; one of its squares names a set.

    For example:

    calicount set unlock blues R1C2
    """
    said = [one.event for one in kept.events if not one.undone]
    locked = [one for event in said if isinstance(event, events.LockedSets | events.SwappedSquares)
              for one in event.sets]  # fmt: skip
    numbers = set(numbers_of(kept, labels))
    meant = [n for one in (*kept.state.locks, *locked) if numbers & set(one) for n in one]
    if not meant:  # a set is meant also where its lock can't hold any more
        raise CatalogueError(
            f"no locked set of {kept.name} has {' or '.join(labels)} in it",
            f"calicount show {quoted(kept.name)} names the locked sets",
        )
    return events.UnlockedSets(tuple(dict.fromkeys(meant)))


@sets.command("forbid")
@says
def forbid(kept: StoredBundle, first: SquareLabel, second: OtherSquare) -> Event:
    """Let two squares never be in one set.

    For example:

    calicount set forbid blues R1C2 R3C4
    """
    return events.ForbiddenPairs((events.two(number_of(kept, first), number_of(kept, second)),))


@sets.command("allow")
@says
def allow(kept: StoredBundle, first: SquareLabel, second: OtherSquare) -> Event:
    """Let two squares that were forbidden be in one set again.

    For example:

    calicount set allow blues R1C2 R3C4
    """
    pair = (number_of(kept, first), number_of(kept, second))
    if not {pair, pair[::-1]} & set(kept.state.forbidden):
        raise CatalogueError(
            f"{first} and {second} of {kept.name} may be in one set already",
            f"calicount show {quoted(kept.name)} names the pairs that may not",
        )
    return events.AllowedPairs((events.two(*pair),))


@sets.command("swap")
@says
def swap(file: Catalogue, kept: StoredBundle, first: SquareLabel, second: OtherSquare) -> Event:
    """Let squares of two sets change places; both sets then stay as they are.

    The sets are those that stand, else those of the last count.

    For example:

    calicount set swap blues R1C2 R3C4
    """
    from catalog.catalogue.last_count import chosen_set

    one, other = squares_of(kept, [first])[0], squares_of(kept, [second])[0]
    ours, theirs = (tuple(chosen_set(file, kept, square)) for square in (one, other))
    return events.SwappedSquares.of(ours, theirs, one.id, other.id)


@sets.command("anew")
@says
def anew(
    kept: StoredBundle,
    only: OnlySquares = None,
    from_one: Annotated[
        bool, typer.Option("--from-one", help="Number all sets from 1 again.", metavar="")
    ] = False,
) -> Event:
    """Ask for the best sets that there are now, whatever was chosen before.

    Sets stay as they were first shown, with their numbers, and a change pairs anew only what it
    must. This lets all of them go but the locked ones; `undo` brings them back.

    For example:

    calicount set anew blues

    calicount set anew blues --only R1C2 --only R3C4
    """
    from msgspec import UNSET

    if only and from_one:
        raise UsageError(
            "only some sets can't be numbered from 1", "leave --only or --from-one out"
        )
    return events.SetsChosenAnew(numbers_of(kept, only) if only else UNSET, from_one)


@sets.command("apart")
@says
def apart(file: Catalogue, kept: StoredBundle, label: SquareLabel) -> Event:
    """Take the set apart that a square is in; its squares then find partners among what is free.

    All other sets stay. The set is the one that stands, else that of the last count.

    For example:

    calicount set apart blues R1C2
    """
    from catalog.catalogue.last_count import chosen_set

    return events.SetTakenApart.of(tuple(chosen_set(file, kept, squares_of(kept, [label])[0])))
