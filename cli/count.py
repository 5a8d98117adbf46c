"""``calicount count``: photos of a bundle to the tally."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from catalog.errors import EXIT_SHORT
from cli.counting import run_count
from cli.options import JsonFlag, ReplaceFlag
from cli.order import GroundKind, Order, Sameness, WallOrder


def count(
    photos: Annotated[
        list[Path],
        typer.Argument(help="Photos of one bundle, squares laid out flat.", metavar="PHOTO"),
    ],
    square: Annotated[
        str,
        typer.Option(
            help='Side of the squares, such as 5, "2 1/2" or "12.5 cm".', metavar="LENGTH"
        ),
    ] = "5",
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
        int, typer.Option(help="Squares in a set: 2, 3 or 4.", metavar="NUMBER")
    ] = 2,
    families: Annotated[
        int | None,
        typer.Option(help="How many colour families; else as the colours fall.", metavar="NUMBER"),
    ] = None,
    same_fabric: Annotated[
        Sameness, typer.Option(help="Whether two squares of one fabric may be in a set.")
    ] = Sameness.allow,
    least_step: Annotated[
        float,
        typer.Option(
            help="How much lighter than its darkest a set's lightest must be, of 100.",
            metavar="NUMBER",
        ),
    ] = 0.0,
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
        float,
        typer.Option(
            help="2 makes a step of lightness count half in a difference, as is usual for cloth.",
            metavar="NUMBER",
        ),
    ] = 1.0,
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
    out: Annotated[
        Path | None,
        typer.Option(help="Folder for the files; else a new calicount-out.", metavar="FOLDER"),
    ] = None,
    replace: ReplaceFlag = False,
    json: JsonFlag = False,
) -> None:
    """Find the squares in photos of one bundle, match them into sets, and count them.

    For example:

    calicount count bundle.jpg

    calicount count bundle.jpg --pattern pinwheel

    calicount count left.jpg right.jpg --square "2 1/2" --sets 12 --out blues
    """
    asked = Order(
        photos=tuple(photos),
        square=square,
        pattern=pattern,
        sets=sets,
        set_size=set_size,
        families=families,
        same_fabric=same_fabric,
        least_step=least_step,
        most_step=most_step,
        tolerance=tolerance,
        lock=tuple(lock or ()),
        forbid=tuple(forbid or ()),
        hold_back=tuple(hold_back or ()),
        white=white,
        grey=grey,
        ground=ground,
        lightness_weight=lightness_weight,
        seam=seam,
        order=None if order is None else order.value,
        width=width,
        out=out,
        replace=replace,
        json=json,
    )
    if run_count(asked):
        raise typer.Exit(EXIT_SHORT)
