"""Options that say how the pictures of photos are drawn."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Final

import typer

from catalog.errors import UsageError


@dataclass(frozen=True)
class PictureOptions:
    """What pictures are asked for; see `cli.command_class.spread_out`."""

    full_pictures: Annotated[
        bool,
        typer.Option(
            "--full-pictures",
            help="Draw on the photo as large as it is; else about 2,000 pixels long.",
            metavar="",
        ),
    ] = False
    no_pictures: Annotated[
        bool,
        typer.Option("--no-pictures", help="Write the tables alone, which is quicker.", metavar=""),
    ] = False

    def __post_init__(self) -> None:
        if self.full_pictures and self.no_pictures:
            raise UsageError(
                "--full-pictures and --no-pictures say different things", "leave one of them out"
            )


USUAL_PICTURES: Final = PictureOptions()
