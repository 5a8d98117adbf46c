"""``calicount photo``: a photo taken out of a kept bundle."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from catalog.errors import CatalogueError
from cli.bundles.open_bundle import change, photo_of, quoted
from cli.options import BundleName, CatalogueOption, JsonFlag, Manner, QuietFlag

if TYPE_CHECKING:
    from catalog.catalogue.records import Deed, Kept

photo = typer.Typer(no_args_is_help=True, help="Take photos out of a bundle.")


@photo.command("drop")
def drop(
    name: BundleName,
    number: Annotated[
        int,
        typer.Argument(help="Number of the photo, as in calicount show.", metavar="NUMBER"),
    ],
    catalogue: CatalogueOption = None,
    quiet: QuietFlag = False,
    json: JsonFlag = False,
) -> None:
    """Take a photo, and with it its squares, out of the bundle; it can be undone.

    For example:

    calicount photo drop blues 2
    """
    change(name, Manner(catalogue, quiet, json), lambda _, kept: [_deed(kept, number)])


def _deed(kept: Kept, number: int) -> Deed:
    from catalog.catalogue.events import event_makers

    photo = photo_of(kept, number)
    if len(kept.photos) == 1:
        raise CatalogueError(
            f"{photo.name} is the only photo of {kept.name}",
            f"calicount remove {quoted(kept.name)} takes the whole bundle away",
        )
    return event_makers.drop_photo(photo.id)
