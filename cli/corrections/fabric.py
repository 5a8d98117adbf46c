"""``calicount fabric``: which squares are cut from one fabric, as the person knows better."""

from __future__ import annotations

import typer

from cli.bundles.named_squares import numbers_of
from cli.corrections.said_of_bundle import Event, StoredBundle, events, says
from cli.options import SquareLabels

fabric = typer.Typer(
    no_args_is_help=True, help="Say which squares are of one fabric and which aren't."
)


@fabric.command("one")
@says
def one(kept: StoredBundle, labels: SquareLabels) -> Event:
    """Say that squares are cut from one fabric, though they were told apart.

    For example:

    calicount fabric one blues R1C1 R3C4
    """
    return events.OneFabric.of(numbers_of(kept, labels))


@fabric.command("own")
@says
def own(kept: StoredBundle, labels: SquareLabels) -> Event:
    """Say that squares are a fabric of their own, though they were taken for another's.

    For example:

    calicount fabric own blues R3C4
    """
    return events.OwnFabric(numbers_of(kept, labels))
