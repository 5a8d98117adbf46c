"""``calicount square``: what a photo got wrong about squares, put right once."""

from __future__ import annotations

from typing import Annotated

import typer

from catalog.errors import UsageError
from cli import completion
from cli.bundles.open_bundle import change, number_of, numbers_of
from cli.corrections.square_uses import call, for_, mark
from cli.options import (
    BundleName,
    CatalogueOption,
    InsistFlag,
    JsonFlag,
    Manner,
    PhotoNumber,
    QuietFlag,
    SquareLabel,
    SquareLabels,
)

square = typer.Typer(no_args_is_help=True, help="Put right what a photo got wrong about squares.")


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
    from catalog.catalogue.events import event_makers

    change(
        name,
        Manner(catalogue, quiet, json),
        lambda _, kept: [event_makers.not_squares(numbers_of(kept, labels))],
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
    from cli.corrections.typed_outlines import missed_deed

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
    yes: InsistFlag = False,
    catalogue: CatalogueOption = None,
    quiet: QuietFlag = False,
    json: JsonFlag = False,
) -> None:
    """Say where a square's corners really lie; its colour is then measured again.

    Corners far from where the square was are taken only with --yes.

    For example:

    calicount square corners blues R3C4 "410,300 520,305 516,415 405,411"
    """
    from cli.corrections.typed_outlines import corners_deed

    change(
        name,
        Manner(catalogue, quiet, json),
        lambda _, kept: [corners_deed(kept, label, corners, insist=yes)],
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
    from catalog.catalogue.events import event_makers
    from cli.corrections.typed_outlines import row_and_column

    change(
        name,
        Manner(catalogue, quiet, json),
        lambda _, kept: [event_makers.placed(number_of(kept, label), *row_and_column(where))],
    )


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
    catalogue: CatalogueOption = None,
    quiet: QuietFlag = False,
    json: JsonFlag = False,
) -> None:
    """Say that two photos show one and the same piece of cloth; the first stands for it.

    For example:

    calicount square same blues R3C4 R9C1

    calicount square same blues --all
    """
    from cli.corrections.same_pieces import all_deeds, same_deed

    if all_ == (first is not None) or (not all_ and second is None):
        raise UsageError(
            "two squares, or --all, tell what is one piece",
            "write it as in: calicount square same blues R3C4 R9C1",
        )
    if all_:
        change(name, Manner(catalogue, quiet, json), all_deeds)
    else:
        pair = (first or "", second or "")
        change(name, Manner(catalogue, quiet, json), lambda _, kept: [same_deed(kept, *pair)])


for word, command in (("call", call), ("for", for_), ("mark", mark)):
    square.command(word)(command)
