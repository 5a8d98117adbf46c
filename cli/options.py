"""Options and arguments that several commands share, so that they read alike."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer

from cli import completion

JsonFlag = Annotated[
    bool, typer.Option("--json", help="Print everything as one JSON object instead.", metavar="")
]
ReplaceFlag = Annotated[
    bool, typer.Option("--replace", help="Write over the files of an earlier run.", metavar="")
]
QuietFlag = Annotated[
    bool, typer.Option("--quiet", help="Say nothing unless something is wrong.", metavar="")
]
SpareOption = Annotated[
    str | None,
    typer.Option(
        help="How much of each cloth to buy beyond what is used, to straighten it; "
        "else 1/8 yd (10 cm with centimetres).",
        metavar="LENGTH",
    ),
]
CatalogueOption = Annotated[
    Path | None,
    typer.Option(
        help="The file that keeps your bundles; else the one in your data folder.",
        metavar="FILE",
        envvar=completion.VARIABLE,
    ),
]
PhotoNumber = Annotated[
    int | None,
    typer.Option("--photo", help="Number of the photo, as in calicount show.", metavar="NUMBER"),
]
InsistFlag = Annotated[
    bool,
    typer.Option("--yes", help="Do it even where the photo speaks against it.", metavar=""),
]

BundleName = Annotated[
    str,
    typer.Argument(
        help="Name of the bundle.",
        metavar="BUNDLE",
        autocompletion=completion.bundles,
        show_default=False,
    ),
]
SquareLabel = Annotated[
    str,
    typer.Argument(
        help="The square, such as R3C4.", metavar="SQUARE", autocompletion=completion.squares
    ),
]
OtherSquare = Annotated[
    str,
    typer.Argument(help="The other one.", metavar="SQUARE", autocompletion=completion.squares),
]
SquareLabels = Annotated[
    list[str],
    typer.Argument(
        help="Squares, such as R3C4 R3C5.", metavar="SQUARE...", autocompletion=completion.squares
    ),
]
ProjectName = Annotated[
    str,
    typer.Argument(
        help="Name of the project.", metavar="PROJECT", autocompletion=completion.projects
    ),
]


@dataclass(frozen=True)
class Manner:
    """Which catalogue is meant and how the command answers.

    A command's parameter of this class stands for its three options; see
    `cli.command_class.spread_out`.
    """

    catalogue: CatalogueOption = None
    quiet: QuietFlag = False
    json: JsonFlag = False


MannerJsonFirst = Annotated[Manner, reversed]
"""The same three options, listed the other way round."""
