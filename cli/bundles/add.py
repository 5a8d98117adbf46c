"""``calicount add``: photos into a bundle that is kept."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer

from cli import completion
from cli.options import LampOption, Manner, ReferenceBarOption, SurfaceOption, length, number


@dataclass(frozen=True)
class AddRequest:
    """Which photos are to be added to which bundle, and how they are looked at."""

    name: Annotated[
        str,
        typer.Argument(
            help="Name of the bundle; it is made if there is none of that name.",
            metavar="BUNDLE",
            autocompletion=completion.bundles,
        ),
    ]
    photos: Annotated[
        list[Path], typer.Argument(help="Photos, or folders of photos.", metavar="PHOTO...")
    ]
    square: Annotated[
        str | None,
        length("Side of the squares; else the bundle's, 5 for a new one."),
    ] = None
    another_kind: Annotated[
        bool,
        typer.Option(
            "--another-kind",
            help="These photos show squares of another size than the bundle's: see --square.",
            metavar="",
        ),
    ] = False
    ground: SurfaceOption = None
    reference_bar: ReferenceBarOption = None
    lamp: LampOption = None
    jobs: Annotated[
        int | None,
        number("How many photos are looked at at once; else as many as the computer has cores."),
    ] = None
    cluster: Annotated[
        str | None,
        typer.Option(
            help="Address of a Dask cluster of yours that looks at the photos instead.",
            metavar="ADDRESS",
        ),
    ] = None


def add(request: AddRequest, *, manner: Manner) -> None:
    """Keep a bundle: add photos of its squares, all at once or over time.

    Squares keep their labels and what you said of them; the rows of later photos count on. A photo
    that the bundle has already is recognised, and one that can't be read doesn't stop the others;
    the command then ends with 2 and says which were kept.

    For example:

    calicount add blues left.jpg right.jpg

    calicount add minis photos-of-minis --square "2 1/2"

    calicount add blues tens.jpg --square 10 --another-kind
    """
    from cli.bundles.add_run import run_add

    run_add(request, manner)
