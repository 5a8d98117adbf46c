"""``calicount wall-check``: photos of the design wall held against its plan."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from catalog.errors import EXIT_SHORT
from cli.checking.checking_options import CheckingOptions
from cli.checking.units_run import measure_units_of
from cli.checking.wall_run import check_wall_of
from cli.counting.output_folder import OutputOptions
from cli.counting.picture_options import USUAL_PICTURES, PictureOptions
from cli.options import BundleName, Manner, ReplaceFlag


def wall_check(
    name: BundleName,
    photos: Annotated[
        list[Path],
        typer.Argument(help="Photos of the wall, whole or in part, or folders of them.",
                       metavar="PHOTO..."),
    ],
    options: CheckingOptions,
    out: Annotated[
        Path | None,
        typer.Option(help="Folder for the files; else a new calicount-wall.", metavar="FOLDER"),
    ] = None,
    pictures: PictureOptions = USUAL_PICTURES,
    replace: ReplaceFlag = False,
    *,
    manner: Manner,
) -> None:  # fmt: skip
    """Look at photos of your design wall and hear what hangs otherwise than planned.

    You hear what has changed places, hangs turned, is missing or doesn't belong, in the order in
    which one would put it right; checked.jpg shows it.

    For example:

    calicount wall-check blues wall.jpg

    calicount wall-check blues wall.jpg --plan calicount-out/wall.csv --pattern pinwheel

    calicount wall-check blues wall.jpg --take-as-is

    calicount wall-check blues units.jpg --units --pattern pinwheel
    """
    options.check()
    output = OutputOptions(out, "calicount-wall", replace, pictures)
    check = measure_units_of if options.units else check_wall_of
    if not check(name, photos, options, output, manner):
        raise typer.Exit(EXIT_SHORT)
