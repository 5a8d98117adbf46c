"""``calicount photo``: a photo taken out of a kept bundle."""

from __future__ import annotations

from typing import Annotated

import typer

from catalog.errors import CatalogueError
from cli.bundles.named_squares import photo_of
from cli.bundles.open_bundle import quoted
from cli.corrections.said_of_bundle import Event, StoredBundle, events, says

photo = typer.Typer(no_args_is_help=True, help="Take photos out of a bundle.")


@photo.command("drop")
@says
def drop(
    kept: StoredBundle,
    number: Annotated[
        int,
        typer.Argument(help="Number of the photo, as in calicount show.", metavar="NUMBER"),
    ],
) -> Event:
    """Take a photo, and with it its squares, out of the bundle; it can be undone.

    For example:

    calicount photo drop blues 2
    """
    photo = photo_of(kept, number)
    if len(kept.photos) == 1:
        raise CatalogueError(
            f"{photo.name} is the only photo of {kept.name}",
            f"calicount remove {quoted(kept.name)} takes the whole bundle away",
        )
    return events.DroppedPhoto(photo.id)
