"""``calicount set``: sets that stay, sets that are not to be, squares that change places."""

from __future__ import annotations

from typing import TYPE_CHECKING

import typer

from catalog.errors import CatalogueError
from cli.bundles.open_bundle import (
    change,
    number_of,
    numbers_of,
    quoted,
    refuse_used,
    squares_of,
)
from cli.options import (
    BundleName,
    CatalogueOption,
    JsonFlag,
    Manner,
    OtherSquare,
    QuietFlag,
    SquareLabel,
    SquareLabels,
)

if TYPE_CHECKING:
    from catalog.catalogue.bundle_catalogue import Catalogue
    from catalog.catalogue.records import Deed, Kept

sets = typer.Typer(no_args_is_help=True, help="Keep sets together, apart, or swap their squares.")


@sets.command("lock")
def lock(
    name: BundleName,
    labels: SquareLabels,
    catalogue: CatalogueOption = None,
    quiet: QuietFlag = False,
    json: JsonFlag = False,
) -> None:
    """Keep squares together as a set, whatever else is chosen.

    For example:

    calicount set lock blues R1C2 R3C4
    """
    from catalog.catalogue.events import event_makers

    change(
        name,
        Manner(catalogue, quiet, json),
        lambda _, kept: [event_makers.lock(_free(kept, labels))],
    )


@sets.command("unlock")
def unlock(
    name: BundleName,
    labels: SquareLabels,
    catalogue: CatalogueOption = None,
    quiet: QuietFlag = False,
    json: JsonFlag = False,
) -> None:
    """Let locked sets go; one of its squares names a set.

    For example:

    calicount set unlock blues R1C2
    """
    change(name, Manner(catalogue, quiet, json), lambda _, kept: [_unlocked(kept, labels)])


@sets.command("forbid")
def forbid(
    name: BundleName,
    first: SquareLabel,
    second: OtherSquare,
    catalogue: CatalogueOption = None,
    quiet: QuietFlag = False,
    json: JsonFlag = False,
) -> None:
    """Let two squares never be in one set.

    For example:

    calicount set forbid blues R1C2 R3C4
    """
    from catalog.catalogue.events import event_makers

    change(
        name,
        Manner(catalogue, quiet, json),
        lambda _, kept: [event_makers.forbid([(number_of(kept, first), number_of(kept, second))])],
    )


@sets.command("allow")
def allow(
    name: BundleName,
    first: SquareLabel,
    second: OtherSquare,
    catalogue: CatalogueOption = None,
    quiet: QuietFlag = False,
    json: JsonFlag = False,
) -> None:
    """Let two squares that were forbidden be in one set again.

    For example:

    calicount set allow blues R1C2 R3C4
    """
    change(name, Manner(catalogue, quiet, json), lambda _, kept: [_allowed(kept, first, second)])


@sets.command("swap")
def swap(
    name: BundleName,
    first: SquareLabel,
    second: OtherSquare,
    catalogue: CatalogueOption = None,
    quiet: QuietFlag = False,
    json: JsonFlag = False,
) -> None:
    """Let squares of two sets change places; both sets then stay as they are.

    The sets are those of the last count of the bundle.

    For example:

    calicount set swap blues R1C2 R3C4
    """
    from catalog.catalogue.events import event_makers

    def swapped(opened: Catalogue, kept: Kept) -> list[Deed]:
        from catalog.catalogue.recalled import chosen_set

        one, other = squares_of(kept, [first])[0], squares_of(kept, [second])[0]
        ours, theirs = (chosen_set(opened, kept, square) for square in (one, other))
        return [event_makers.swap(ours, theirs, one.id, other.id)]

    change(name, Manner(catalogue, quiet, json), swapped)


@sets.command("apart")
def apart(
    name: BundleName,
    label: SquareLabel,
    catalogue: CatalogueOption = None,
    quiet: QuietFlag = False,
    json: JsonFlag = False,
) -> None:
    """Take the set apart that a square is in; its squares then find other partners.

    The set is that of the last count of the bundle.

    For example:

    calicount set apart blues R1C2
    """
    from catalog.catalogue.events import event_makers

    def taken_apart(opened: Catalogue, kept: Kept) -> list[Deed]:
        from catalog.catalogue.recalled import chosen_set

        return [event_makers.take_apart(chosen_set(opened, kept, squares_of(kept, [label])[0]))]

    change(name, Manner(catalogue, quiet, json), taken_apart)


def _free(kept: Kept, labels: list[str]) -> list[int]:
    """Return squares that may be locked together.

    Raises
    ------
    CatalogueError
        One of them can't be used, or a set of so many isn't asked for.
    """
    squares = squares_of(kept, labels)
    for square in squares:
        refuse_used(square)
    if not 2 <= len(squares) <= 4:
        raise CatalogueError(
            f"{len(squares)} {'square makes' if len(squares) == 1 else 'squares make'} no set",
            "lock 2, 3 or 4 together",
        )
    return [square.id for square in squares]


def _unlocked(kept: Kept, labels: list[str]) -> Deed:
    """Let go of the sets that any of these squares was locked in, those that can't hold too."""
    from catalog.catalogue.events import event_makers

    said = [one for deed in kept.deeds if not deed.undone and deed.kind in {"lock", "swap"}
            for one in deed.args["sets"]]  # fmt: skip
    numbers = set(numbers_of(kept, labels))
    meant = [number for one in (*kept.state.locks, *said) if numbers & set(one) for number in one]
    if not meant:
        raise CatalogueError(
            f"no locked set of {kept.name} has {' or '.join(labels)} in it",
            f"calicount show {quoted(kept.name)} names the locked sets",
        )
    return event_makers.unlock(dict.fromkeys(meant))


def _allowed(kept: Kept, first: str, second: str) -> Deed:
    from catalog.catalogue.events import event_makers

    pair = (number_of(kept, first), number_of(kept, second))
    if not {pair, pair[::-1]} & set(kept.state.forbidden):
        raise CatalogueError(
            f"{first} and {second} of {kept.name} may be in one set already",
            f"calicount show {quoted(kept.name)} names the pairs that may not",
        )
    return event_makers.allow([pair])
