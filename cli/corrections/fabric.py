"""``calicount fabric``: which squares are cut from one fabric, as the person knows better."""

from __future__ import annotations

import typer

from cli.bundles.open_bundle import change, numbers_of
from cli.options import (
    BundleName,
    CatalogueOption,
    JsonFlag,
    Manner,
    QuietFlag,
    SquareLabels,
)

fabric = typer.Typer(
    no_args_is_help=True, help="Say which squares are of one fabric and which aren't."
)


@fabric.command("one")
def one(
    name: BundleName,
    labels: SquareLabels,
    catalogue: CatalogueOption = None,
    quiet: QuietFlag = False,
    json: JsonFlag = False,
) -> None:
    """Say that squares are cut from one fabric, though they were told apart.

    For example:

    calicount fabric one blues R1C1 R3C4
    """
    from catalog.catalogue.events import event_makers

    change(
        name,
        Manner(catalogue, quiet, json),
        lambda _, kept: [event_makers.one_fabric(numbers_of(kept, labels))],
    )


@fabric.command("own")
def own(
    name: BundleName,
    labels: SquareLabels,
    catalogue: CatalogueOption = None,
    quiet: QuietFlag = False,
    json: JsonFlag = False,
) -> None:
    """Say that squares are a fabric of their own, though they were taken for another's.

    For example:

    calicount fabric own blues R3C4
    """
    from catalog.catalogue.events import event_makers

    change(
        name,
        Manner(catalogue, quiet, json),
        lambda _, kept: [event_makers.own_fabric(numbers_of(kept, labels))],
    )
