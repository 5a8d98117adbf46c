"""``calicount square``: what a photo got wrong about squares, put right once."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING, Annotated, cast

import typer

from catalog.errors import CatalogueError
from cli.kept_bundle import change, number_of, numbers_of
from cli.options import (
    BundleName,
    CatalogueOption,
    JsonFlag,
    Manner,
    OtherSquare,
    PhotoNumber,
    QuietFlag,
    SquareLabel,
    SquareLabels,
)

if TYPE_CHECKING:
    from catalog.kept.models import Deed, Kept, Mark
    from catalog.models import BundleRole

square = typer.Typer(no_args_is_help=True, help="Put right what a photo got wrong about squares.")


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
def isnt(
    name: BundleName,
    labels: SquareLabels,
    catalogue: CatalogueOption = None,
    quiet: QuietFlag = False,
    json: JsonFlag = False,
) -> None:
    """Take out what is no square of the bundle, such as a ruler or a coaster.

    For example:

    calicount square isnt blues R3C4
    """
    from catalog.kept import deeds

    change(
        name,
        Manner(catalogue, quiet, json),
        lambda _, kept: [deeds.not_squares(numbers_of(kept, labels))],
    )


@square.command("missed")
def missed(
    name: BundleName,
    place: Annotated[
        str | None,
        typer.Option(help="Its row and column, such as R3C4.", metavar="PLACE"),
    ] = None,
    corners: Annotated[
        str | None,
        typer.Option(
            help='Its four corners in pixels of the upright photo, as "x,y x,y x,y x,y".',
            metavar="CORNERS",
        ),
    ] = None,
    photo: PhotoNumber = None,
    catalogue: CatalogueOption = None,
    quiet: QuietFlag = False,
    json: JsonFlag = False,
) -> None:
    """Add a square that the photo shows and calicount missed.

    Where the others lie in rows, the row and column are enough.

    For example:

    calicount square missed blues --place R3C4

    calicount square missed blues --photo 2 --corners "410,300 520,305 516,415 405,411"
    """
    from cli.outlines import missed_deed

    change(
        name,
        Manner(catalogue, quiet, json),
        lambda _, kept: [missed_deed(kept, place, corners, photo)],
    )


@square.command("corners")
def corners(
    name: BundleName,
    label: SquareLabel,
    corners: Annotated[
        str,
        typer.Argument(
            help='Its four corners in pixels of the upright photo, as "x,y x,y x,y x,y".',
            metavar="CORNERS",
        ),
    ],
    catalogue: CatalogueOption = None,
    quiet: QuietFlag = False,
    json: JsonFlag = False,
) -> None:
    """Say where a square's corners really lie; its colour is then measured again.

    For example:

    calicount square corners blues R3C4 "410,300 520,305 516,415 405,411"
    """
    from cli.outlines import corners_deed

    change(
        name,
        Manner(catalogue, quiet, json),
        lambda _, kept: [corners_deed(kept, label, corners)],
    )


@square.command("place")
def place(
    name: BundleName,
    label: SquareLabel,
    where: Annotated[
        str, typer.Argument(help="Its row and column, such as R3C5.", metavar="PLACE")
    ],
    catalogue: CatalogueOption = None,
    quiet: QuietFlag = False,
    json: JsonFlag = False,
) -> None:
    """Say in which row and column a square lies; one that is there changes places with it.

    For example:

    calicount square place blues R3C4 R3C5
    """
    from catalog.kept import deeds
    from cli.outlines import row_and_column

    change(
        name,
        Manner(catalogue, quiet, json),
        lambda _, kept: [deeds.placed(number_of(kept, label), *row_and_column(where))],
    )


@square.command("call")
def call(
    name: BundleName,
    label: SquareLabel,
    text: Annotated[
        str, typer.Argument(help='What you call it; "" takes the name away.', metavar="WORDS")
    ],
    catalogue: CatalogueOption = None,
    quiet: QuietFlag = False,
    json: JsonFlag = False,
) -> None:
    """Give a square a name of your own.

    For example:

    calicount square call blues R3C4 "grandmother's apron"
    """
    from catalog.kept import deeds

    change(
        name,
        Manner(catalogue, quiet, json),
        lambda _, kept: [deeds.named(numbers_of(kept, [label]), text)],
    )


@square.command("for")
def for_(
    name: BundleName,
    use: Annotated[Use, typer.Argument(help="What they are for.", metavar="USE")],
    labels: SquareLabels,
    catalogue: CatalogueOption = None,
    quiet: QuietFlag = False,
    json: JsonFlag = False,
) -> None:
    """Say whether squares are for the feature, the background, or either.

    For example:

    calicount square for blues background R1C1 R1C2
    """
    from catalog.kept import deeds

    said = cast("BundleRole", "" if use is Use.either else use.value)
    change(
        name,
        Manner(catalogue, quiet, json),
        lambda _, kept: [deeds.role(numbers_of(kept, labels), said)],
    )


@square.command("mark")
def mark(
    name: BundleName,
    mark: Annotated[
        MarkWord,
        typer.Argument(help="damaged, wrong-side, held-back or cut.", metavar="MARK"),
    ],
    labels: SquareLabels,
    off: Annotated[
        bool, typer.Option("--off", help="Take the mark away again.", metavar="")
    ] = False,
    catalogue: CatalogueOption = None,
    quiet: QuietFlag = False,
    json: JsonFlag = False,
) -> None:
    """Mark squares that no set may use: damaged, wrong side up, held back or cut already.

    For example:

    calicount square mark blues damaged R3C4

    calicount square mark blues held-back R1C1 R1C2 --off
    """
    from catalog.kept import deeds

    said = cast("Mark", mark.value.replace("-", " "))
    change(
        name,
        Manner(catalogue, quiet, json),
        lambda _, kept: [deeds.marked(numbers_of(kept, labels), said, on=not off)],
    )


@square.command("same")
def same(
    name: BundleName,
    first: SquareLabel,
    second: OtherSquare,
    catalogue: CatalogueOption = None,
    quiet: QuietFlag = False,
    json: JsonFlag = False,
) -> None:
    """Say that two photos show one and the same piece of cloth; the first stands for it.

    For example:

    calicount square same blues R3C4 R9C1
    """
    change(name, Manner(catalogue, quiet, json), lambda _, kept: [_same_deed(kept, first, second)])


def _same_deed(kept: Kept, first: str, second: str) -> Deed:
    from catalog.kept import deeds

    one, other = number_of(kept, first), number_of(kept, second)
    squares = kept.state.squares
    if one != other and squares[one].photo == squares[other].photo:
        raise CatalogueError(
            f"{first} and {second} lie in one photo, so they are two pieces",
            f"if one of them is no square say so: calicount square isnt {kept.name} {second}",
        )
    return deeds.same_piece(one, other)
