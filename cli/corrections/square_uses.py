"""``calicount square call``, ``for`` and ``mark``: what squares are called and used for."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING, Annotated, cast

import typer

from cli.bundles.open_bundle import change, numbers_of
from cli.options import (
    BundleName,
    CatalogueOption,
    JsonFlag,
    Manner,
    QuietFlag,
    SquareLabel,
    SquareLabels,
)

if TYPE_CHECKING:
    from catalog.catalogue.records import Mark
    from catalog.models import BundleRole


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
    from catalog.catalogue.events import event_makers

    change(
        name,
        Manner(catalogue, quiet, json),
        lambda _, kept: [event_makers.named(numbers_of(kept, [label]), text)],
    )


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
    from catalog.catalogue.events import event_makers

    said = cast("BundleRole", "" if use is Use.either else use.value)
    change(
        name,
        Manner(catalogue, quiet, json),
        lambda _, kept: [event_makers.role(numbers_of(kept, labels), said)],
    )


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
    from catalog.catalogue.events import event_makers

    said = cast("Mark", mark.value.replace("-", " "))
    change(
        name,
        Manner(catalogue, quiet, json),
        lambda _, kept: [event_makers.marked(numbers_of(kept, labels), said, on=not off)],
    )
