"""``calicount count``: photos of a bundle to the tally."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from catalog.errors import EXIT_SHORT
from cli.counting import Order, Sameness, run_count


def count(
    photos: Annotated[
        list[Path], typer.Argument(help="Photos of one bundle, squares laid out flat.")
    ],
    square: Annotated[
        str, typer.Option(help='Side of the squares, such as 5, "2 1/2" or "12.5 cm".')
    ] = "5",
    pattern: Annotated[
        str | None,
        typer.Option(help="A pattern by its name, or a pattern file.", metavar="NAME|FILE"),
    ] = None,
    sets: Annotated[
        int | None, typer.Option(help="How many sets to make; else as many as there can be.")
    ] = None,
    set_size: Annotated[int, typer.Option(help="Squares in a set: 2, 3 or 4.")] = 2,
    families: Annotated[
        int | None, typer.Option(help="How many colour families; else as the colours fall.")
    ] = None,
    same_fabric: Annotated[
        Sameness, typer.Option(help="Two squares of one fabric in a set.")
    ] = Sameness.allow,
    least_step: Annotated[
        float, typer.Option(help="Least lightness from a set's darkest to its lightest, 0-100.")
    ] = 0.0,
    most_step: Annotated[
        float | None, typer.Option(help="Most lightness from a set's darkest to its lightest.")
    ] = None,
    tolerance: Annotated[
        float | None,
        typer.Option(help="Largest difference (CIEDE2000) inside a set that counts as a match."),
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
    out: Annotated[
        Path | None,
        typer.Option(help="Folder for the files; else a new calicount-out.", metavar="FOLDER"),
    ] = None,
    replace: Annotated[
        bool, typer.Option("--replace", help="Write over the files of an earlier run in --out.")
    ] = False,
    json: Annotated[
        bool, typer.Option("--json", help="Print everything as one JSON object instead.")
    ] = False,
) -> None:
    """Find the squares in photos of one bundle, match them into sets, and count them.

    Examples
    --------
    calicount count bundle.jpg

    calicount count bundle.jpg --pattern pinwheel

    calicount count left.jpg right.jpg --square "2 1/2" --sets 12 --out blues
    """
    order = Order(
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
        out=out,
        replace=replace,
        json=json,
    )
    if run_count(order):
        raise typer.Exit(EXIT_SHORT)
