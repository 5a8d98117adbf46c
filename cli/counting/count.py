"""``calicount count``: photos of a bundle, or a kept bundle, to the tally."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from catalog.errors import EXIT_SHORT
from cli import completion
from cli.counting.bundle_run import count_photos_or_bundle
from cli.counting.count_options import CountOptions
from cli.counting.output_folder import OutputOptions
from cli.counting.picture_options import USUAL_PICTURES, PictureOptions
from cli.options import Manner, ReplaceFlag


def count(
    photos: Annotated[
        list[Path],
        typer.Argument(
            help="Photos of one bundle, squares laid out flat; or the name of a bundle you keep.",
            metavar="PHOTO",
            autocompletion=completion.files_and_bundles,
        ),
    ],
    options: CountOptions,
    out: Annotated[
        Path | None,
        typer.Option(help="Folder for the files; else a new calicount-out.", metavar="FOLDER"),
    ] = None,
    pictures: PictureOptions = USUAL_PICTURES,
    replace: ReplaceFlag = False,
    *,
    manner: Manner,
) -> None:
    """Find the squares in photos of one bundle, match them into sets, and count them.

    A bundle that you keep (calicount add) is counted by its name: what is free of it, with all
    that you said of it.

    For example:

    calicount count bundle.jpg

    calicount count bundle.jpg --pattern pinwheel

    calicount count left.jpg right.jpg --square "2 1/2" --sets 12 --out blues

    calicount count blues --pattern pinwheel
    """
    output = OutputOptions(out, "calicount-out", replace, pictures)
    if not count_photos_or_bundle(photos, options, output, manner):
        raise typer.Exit(EXIT_SHORT)
