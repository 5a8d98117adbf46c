"""``calicount demo``: the whole line on a photo that comes with the tool."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from cli import console
from cli.counting.count_options import CountOptions
from cli.counting.count_run import count_photos
from cli.counting.output_folder import OutputOptions
from cli.counting.picture_options import USUAL_PICTURES, PictureOptions
from cli.options import JsonFlag, Manner, ReplaceFlag

PHOTO = "thirty_squares_on_flannel.jpg"
PATTERN = "pinwheel"


def demo(
    out: Annotated[
        Path | None,
        typer.Option(help="Folder for the files; else calicount-demo.", metavar="FOLDER"),
    ] = None,
    pictures: PictureOptions = USUAL_PICTURES,
    replace: ReplaceFlag = False,
    json: JsonFlag = False,
) -> None:
    """Count thirty invented squares that come with calicount against a pinwheel quilt.

    For example:

    calicount demo

    calicount demo --out trial
    """
    from importlib.resources import as_file, files

    with as_file(files("catalog").joinpath("demo", PHOTO)) as photo:
        if not json:
            console.tell(f"A photo that comes with calicount, counted for the pattern {PATTERN}.")
        output = OutputOptions(out, "calicount-demo", replace, pictures)
        enough = count_photos([photo], CountOptions(pattern=PATTERN), output, Manner(json=json))
    if not (enough or json):
        console.tell("(A shortfall in the demo is nothing wrong: it shows what one looks like.)")
