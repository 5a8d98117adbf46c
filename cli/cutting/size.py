"""``calicount size``: one unit, from its finished size or from the square in hand."""

from __future__ import annotations

from typing import Annotated

import typer

from catalog.errors import EXIT_SHORT
from catalog.lengths import centimetres_shown
from cli import console
from cli.cutting.size_request import SizeOrder, fill
from cli.options import JsonFlag


def size(
    unit: Annotated[
        str, typer.Argument(help="Such as half-square-triangle, flying-geese, four-patch.")
    ],
    square: Annotated[
        str | None,
        typer.Option(help='Side of the square in hand, such as 5 or "12.5 cm".', metavar="LENGTH"),
    ] = None,
    finished: Annotated[
        str | None,
        typer.Option(
            help="Width of the unit once sewn in; of a setting or corner triangle, the block's.",
            metavar="LENGTH",
        ),
    ] = None,
    at_a_time: Annotated[
        int | None,
        typer.Option(help="How many are made at once, where there are several ways.", metavar="N"),
    ] = None,
    seam: Annotated[
        str | None, typer.Option(help="The seam you sew; 1/4 unless told.", metavar="LENGTH")
    ] = None,
    measured: Annotated[
        str | None,
        typer.Option(
            help="A unit you sewed from --square, measured before trimming: tells your seam.",
            metavar="LENGTH",
        ),
    ] = None,
    trim_to: Annotated[
        str | None,
        typer.Option(help="Your pattern's trim size: warns if it isn't reached.", metavar="LENGTH"),
    ] = None,
    large: Annotated[
        bool, typer.Option("--large", help="Cut larger than needed, to trim more off.")
    ] = False,
    width: Annotated[
        str, typer.Option(help="Usable length of a strip, for units from strips.", metavar="LENGTH")
    ] = "40 in",
    ruler: Annotated[
        str | None,
        typer.Option(
            help="Marks of your ruler; 1/8 unless told, 1 mm with --cm.", metavar="LENGTH"
        ),
    ] = None,
    cm: Annotated[bool, typer.Option("--cm", help="Centimetres, typed and shown.")] = False,
    json: JsonFlag = False,
) -> None:
    """Tell what to cut for a unit, or what a square in hand gives.

    Units: square, rectangle, half-square-triangle (2, 4 or 8 at a time),
    half-square-triangle-strips, quarter-square-triangle, flying-geese (4 or 1 at a time),
    square-in-a-square, square-in-a-square-triangles, square-in-a-square-quarters,
    flipped-corners, octagon, four-patch, four-patch-strips, nine-patch, nine-patch-strips,
    quartered-nine-patch, setting-triangle, corner-triangle.

    Examples
    --------
    calicount size half-square-triangle --square 5

    calicount size flying-geese --finished 4 --at-a-time 1

    calicount size nine-patch --square "2 1/2" --seam "3/16"

    calicount size hst --square 12.5 --seam 0.6 --cm
    """
    order = SizeOrder(
        unit=unit,
        square=square,
        finished=finished,
        at_a_time=at_a_time,
        seam=seam,
        measured=measured,
        trim_to=trim_to,
        large=large,
        width=width,
        ruler=ruler,
        cm=cm,
    )
    with centimetres_shown(cm):
        answer = fill(order)
        if json:
            from cli.cutting.size_json import answer_json

            console.say_json(answer_json(answer))
        else:
            from cli.cutting.size_words import answer_lines

            for line in answer_lines(answer):
                console.say(line)
    if answer.reached is not None and answer.reached.short + answer.reached.over > 0:
        raise typer.Exit(EXIT_SHORT)
