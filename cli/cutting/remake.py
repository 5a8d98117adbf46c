"""``calicount remake``: a pattern made over to the squares in hand, before anything is cut."""

from __future__ import annotations

from typing import Annotated

import typer

from catalog.errors import EXIT_SHORT
from cli import console
from cli.cutting.remake_request import RemakeOrder, carry_out
from cli.options import JsonFlag, SpareOption


def remake(
    pattern: Annotated[
        str, typer.Argument(help="A pattern by its name, or a pattern file.", metavar="PATTERN")
    ],
    square: Annotated[
        str | None,
        typer.Option(
            help="Side of your squares, such as 5; else those of the pattern.", metavar="LENGTH"
        ),
    ] = None,
    seam: Annotated[
        str | None,
        typer.Option(help="The seam you sew; else the pattern's.", metavar="LENGTH"),
    ] = None,
    measured: Annotated[
        str | None,
        typer.Option(
            help="A half-square triangle, sewn two at a time from --square, before it is trimmed: "
            "tells your seam.",
            metavar="LENGTH",
        ),
    ] = None,
    finished: Annotated[
        str | None,
        typer.Option(help="Finished block you want instead.", metavar="LENGTH"),
    ] = None,
    sets: Annotated[
        int | None, typer.Option(help="How many matched sets you have.", metavar="NUMBER")
    ] = None,
    shape: Annotated[
        str,
        typer.Option(
            help="as-written, largest, longer, shorter, square, runner, crib, baby, lap, throw, "
            "twin, full, queen or king.",
            metavar="SHAPE",
        ),
    ] = "as-written",
    width: Annotated[
        str, typer.Option(help="Usable width of the fabric you buy.", metavar="LENGTH")
    ] = "40 in",
    shrinkage: Annotated[
        float,
        typer.Option(help="Percent that it shrinks if you wash it first.", metavar="NUMBER"),
    ] = 0.0,
    spare: SpareOption = None,
    cm: Annotated[
        bool,
        typer.Option("--cm", help="Centimetres, typed and shown; fabric by 10 cm.", metavar=""),
    ] = False,
    json: JsonFlag = False,
) -> None:
    """Make a pattern over to your squares and your seam: what to cut, trim and buy.

    For example:

    calicount remake pinwheel --square "4 3/4"

    calicount remake four-patch --seam "3/16" --sets 15 --shape crib
    """
    order = RemakeOrder(
        pattern, square, seam, measured, finished, sets, shape, width, shrinkage, cm, spare
    )
    from catalog.lengths import centimetres_shown

    with centimetres_shown(cm):
        title, made = carry_out(order)
        if json:
            from cli.cutting.remake_json import made_json

            console.say_json(made_json(title, made))
        else:
            from cli.cutting.remake_words import tell

            tell(title, made, cm=cm)
    if not made.fits:
        raise typer.Exit(EXIT_SHORT)
