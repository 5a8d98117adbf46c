"""``calicount count``: photos of a bundle, or a kept bundle, to the tally."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from catalog.errors import EXIT_SHORT
from cli import completion
from cli.counting.bundle_run import run_count_of
from cli.counting.count_request import GroundKind, Sameness, WallOrder
from cli.options import (
    CatalogueOption,
    JsonFlag,
    Manner,
    QuietFlag,
    ReplaceFlag,
    SpareOption,
)


def count(
    photos: Annotated[
        list[Path],
        typer.Argument(
            help="Photos of one bundle, squares laid out flat; or the name of a bundle you keep.",
            metavar="PHOTO",
            autocompletion=completion.files_and_bundles,
        ),
    ],
    square: Annotated[
        str | None,
        typer.Option(
            help='Side of the squares, such as "2 1/2" or "12.5 cm"; else 5.', metavar="LENGTH"
        ),
    ] = None,
    pattern: Annotated[
        str | None,
        typer.Option(help="A pattern by its name, or a pattern file.", metavar="NAME|FILE"),
    ] = None,
    sets: Annotated[
        int | None,
        typer.Option(
            help="How many sets you want; else as many as there can be.", metavar="NUMBER"
        ),
    ] = None,
    set_size: Annotated[
        int | None, typer.Option(help="Squares in a set: 2, 3 or 4; else 2.", metavar="NUMBER")
    ] = None,
    families: Annotated[
        int | None,
        typer.Option(help="How many colour families; else as the colours fall.", metavar="NUMBER"),
    ] = None,
    same_fabric: Annotated[
        Sameness | None,
        typer.Option(help="Whether two squares of one fabric may be in a set; else allow."),
    ] = None,
    least_step: Annotated[
        float | None,
        typer.Option(
            help="How much lighter than its darkest a set's lightest must be, of 100.",
            metavar="NUMBER",
        ),
    ] = None,
    most_step: Annotated[
        float | None,
        typer.Option(
            help="How much lighter than its darkest a set's lightest may be.", metavar="NUMBER"
        ),
    ] = None,
    tolerance: Annotated[
        float | None,
        typer.Option(
            help="Largest colour difference in a set that counts, 1 to 20 (CIEDE2000); else 10.",
            metavar="NUMBER",
        ),
    ] = None,
    lock: Annotated[
        list[str] | None,
        typer.Option(help="Squares that must be a set, such as R1C2+R3C4.", metavar="A+B"),
    ] = None,
    forbid: Annotated[
        list[str] | None,
        typer.Option(help="Two squares that must not be in one set.", metavar="A+B"),
    ] = None,
    hold_back: Annotated[
        list[str] | None,
        typer.Option(help="A square that nothing may use.", metavar="LABEL"),
    ] = None,
    white: Annotated[
        str | None, typer.Option(help="A square that is white cloth.", metavar="LABEL")
    ] = None,
    grey: Annotated[
        str | None, typer.Option(help="A square that is a neutral grey.", metavar="LABEL")
    ] = None,
    ground: Annotated[
        GroundKind | None, typer.Option(help="What the squares lie on; else judged by its looks.")
    ] = None,
    lightness_weight: Annotated[
        float | None,
        typer.Option(
            help="2 makes a step of lightness count half in a difference, as is usual for cloth.",
            metavar="NUMBER",
        ),
    ] = None,
    seam: Annotated[
        str | None,
        typer.Option(help="The seam you sew; else the pattern's.", metavar="LENGTH"),
    ] = None,
    order: Annotated[
        WallOrder | None,
        typer.Option(help="How the sets hang on the wall; else rainbow-diagonal."),
    ] = None,
    width: Annotated[
        str, typer.Option(help="Usable width of the fabric you buy.", metavar="LENGTH")
    ] = "40",
    spare: SpareOption = None,
    out: Annotated[
        Path | None,
        typer.Option(help="Folder for the files; else a new calicount-out.", metavar="FOLDER"),
    ] = None,
    replace: ReplaceFlag = False,
    catalogue: CatalogueOption = None,
    quiet: QuietFlag = False,
    json: JsonFlag = False,
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
    typed = {
        "square": square,
        "pattern": pattern,
        "sets": sets,
        "set_size": set_size,
        "families": families,
        "same_fabric": same_fabric,
        "least_step": least_step,
        "most_step": most_step,
        "tolerance": tolerance,
        "lock": tuple(lock or ()) or None,
        "forbid": tuple(forbid or ()) or None,
        "hold_back": tuple(hold_back or ()) or None,
        "white": white,
        "grey": grey,
        "ground": ground,
        "lightness_weight": lightness_weight,
        "seam": seam,
        "order": None if order is None else order.value,
        "width": width,
        "spare": spare,
        "out": out,
        "replace": replace,
        "quiet": quiet,
        "json": json,
    }
    given = {key: value for key, value in typed.items() if value is not None}
    if run_count_of(photos, given, Manner(catalogue, quiet, json)):
        raise typer.Exit(EXIT_SHORT)
