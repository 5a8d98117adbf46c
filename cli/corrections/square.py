"""``calicount square``: what a photo got wrong about squares, and what they are used for."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING, Annotated, cast

import typer

from catalog.errors import UsageError
from cli import completion
from cli.bundles.named_squares import number_of, numbers_of
from cli.bundles.open_bundle import change
from cli.corrections.said_of_bundle import Event, StoredBundle, events, says
from cli.options import (
    BundleName,
    InsistFlag,
    Manner,
    PhotoNumber,
    SquareLabel,
    SquareLabels,
)

if TYPE_CHECKING:
    from catalog.catalogue.records import Mark
    from catalog.models import BundleRole

square = typer.Typer(no_args_is_help=True, help="Put right what a photo got wrong about squares.")

CORNERS_HELP = 'Its four corners in pixels of the upright photo, as "x,y x,y x,y x,y".'


class Use(StrEnum):
    """What a square is for."""

    feature = "feature"
    background = "background"
    either = "either"


class MarkWord(StrEnum):
    """Why no set may use a square."""

    damaged = "damaged"
    wrong_side = "wrong-side"
    held_back = "held-back"
    cut = "cut"


@square.command("isnt")
@says
def isnt(kept: StoredBundle, labels: SquareLabels) -> Event:
    """Take out what is no square of the bundle, such as a ruler or a coaster.

    For example:

    calicount square isnt blues R3C4
    """
    return events.NotASquare(numbers_of(kept, labels))


@square.command("right")
@says
def right(
    kept: StoredBundle,
    labels: SquareLabels,
    off: Annotated[
        bool, typer.Option("--off", help="Let them be looked at again.", metavar="")
    ] = False,
) -> Event:
    """Say that squares are right as found, so that nothing asks to look at them again.

    That holds until their corners are moved. `calicount square doubts` lists what is in doubt.

    For example:

    calicount square right blues R3C4

    calicount square right blues R3C4 --off
    """
    return events.RightAsFound(numbers_of(kept, labels), not off)


@square.command("doubts")
def doubts(name: BundleName, *, manner: Manner) -> None:
    """List the squares and photos that need your eye, the most doubtful first.

    Each has its reason, the one question, and the commands that answer it.

    For example:

    calicount square doubts blues
    """
    from cli.corrections.doubt_list import tell_doubts

    tell_doubts(name, manner)


@square.command("missed")
@says
def missed(
    kept: StoredBundle,
    place: Annotated[
        str | None,
        typer.Option(help="Its row and column, such as R3C4.", metavar="PLACE"),
    ] = None,
    corners: Annotated[str | None, typer.Option(help=CORNERS_HELP, metavar="CORNERS")] = None,
    photo: PhotoNumber = None,
) -> Event:
    """Add a square that the photo shows and calicount missed.

    Where the others lie in rows, the row and column are enough.

    For example:

    calicount square missed blues --place R3C4

    calicount square missed blues --photo 2 --corners "410,300 520,305 516,415 405,411"
    """
    from cli.corrections.typed_outlines import missed_square

    return missed_square(kept, place, corners, photo)


@square.command("corners")
@says
def corners(
    kept: StoredBundle,
    label: SquareLabel,
    corners: Annotated[str, typer.Argument(help=CORNERS_HELP, metavar="CORNERS")],
    yes: InsistFlag = False,
) -> Event:
    """Say where a square's corners really lie; its colour is then measured again.

    Corners far from where the square was are taken only with --yes.

    For example:

    calicount square corners blues R3C4 "410,300 520,305 516,415 405,411"
    """
    from cli.corrections.typed_outlines import moved_corners

    return moved_corners(kept, label, corners, insist=yes)


@square.command("place")
@says
def place(
    kept: StoredBundle,
    label: SquareLabel,
    where: Annotated[
        str, typer.Argument(help="Its row and column, such as R3C5.", metavar="PLACE")
    ],
) -> Event:
    """Say in which row and column a square lies; one that is there changes places with it.

    For example:

    calicount square place blues R3C4 R3C5
    """
    from cli.corrections.typed_outlines import row_and_column

    return events.PlacedSquare(number_of(kept, label), *row_and_column(where))


@square.command("same")
def same(
    name: BundleName,
    first: Annotated[
        str | None,
        typer.Argument(
            help="The square that stands for both.",
            metavar="SQUARE",
            autocompletion=completion.squares,
        ),
    ] = None,
    second: Annotated[
        str | None,
        typer.Argument(help="The other one.", metavar="SQUARE", autocompletion=completion.squares),
    ] = None,
    all_: Annotated[
        bool,
        typer.Option("--all", help="All pairs that look like one piece of cloth.", metavar=""),
    ] = False,
    *,
    manner: Manner,
) -> None:
    """Say that two photos show one and the same piece of cloth; the first stands for it.

    For example:

    calicount square same blues R3C4 R9C1

    calicount square same blues --all
    """
    from cli.corrections.same_pieces import all_alike, same_piece

    if all_ == (first is not None) or (not all_ and second is None):
        raise UsageError(
            "two squares, or --all, tell what is one piece",
            "write it as in: calicount square same blues R3C4 R9C1",
        )
    pair = (first or "", second or "")
    change(
        name,
        manner,
        lambda file, kept: all_alike(file, kept) if all_ else [same_piece(kept, *pair)],
    )


@square.command("call")
@says
def call(
    kept: StoredBundle,
    label: SquareLabel,
    text: Annotated[
        str, typer.Argument(help='What you call it; "" takes the name away.', metavar="WORDS")
    ],
) -> Event:
    """Give a square a name of your own.

    For example:

    calicount square call blues R3C4 "grandmother's apron"
    """
    return events.NamedSquares.of(numbers_of(kept, [label]), text)


@square.command("for")
@says
def for_(
    kept: StoredBundle,
    use: Annotated[Use, typer.Argument(help="What they are for.", metavar="USE")],
    labels: SquareLabels,
) -> Event:
    """Say whether squares are for the feature, the background, or either.

    For example:

    calicount square for blues background R1C1 R1C2
    """
    role = cast("BundleRole", "" if use is Use.either else use.value)
    return events.SquaresRole(numbers_of(kept, labels), role)


@square.command("mark")
@says
def mark(
    kept: StoredBundle,
    mark: Annotated[
        MarkWord,
        typer.Argument(help="damaged, wrong-side, held-back or cut.", metavar="MARK"),
    ],
    labels: SquareLabels,
    off: Annotated[
        bool, typer.Option("--off", help="Take the mark away again.", metavar="")
    ] = False,
) -> Event:
    """Mark squares that no set may use: damaged, wrong side up, held back or cut already.

    For example:

    calicount square mark blues damaged R3C4

    calicount square mark blues held-back R1C1 R1C2 --off
    """
    said = cast("Mark", mark.value.replace("-", " "))
    return events.MarkedSquares(numbers_of(kept, labels), said, on=not off)
