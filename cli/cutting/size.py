"""``calicount size``: one unit, from its finished size or from the square in hand."""

from __future__ import annotations

import typer

from catalog.errors import EXIT_SHORT
from catalog.lengths import centimetres_shown
from cli import console
from cli.cutting.size_options import SizeOptions
from cli.cutting.size_request import fill
from cli.options import JsonFlag


def size(options: SizeOptions, json: JsonFlag = False) -> None:
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
    with centimetres_shown(options.cm):
        answer = fill(options)
        if json:
            from cli.cutting.size_json import answer_json

            console.say_json(answer_json(answer))
        else:
            from cli.cutting.size_words import answer_lines

            for line in answer_lines(answer):
                console.say(line)
    if answer.reached is not None and answer.reached.short + answer.reached.over > 0:
        raise typer.Exit(EXIT_SHORT)
