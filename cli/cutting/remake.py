"""``calicount remake``: a pattern made over to the squares in hand, before anything is cut."""

from __future__ import annotations

import typer

from catalog.errors import EXIT_SHORT
from cli import console
from cli.cutting.remake_files import check_folder, tell_files, write_plans
from cli.cutting.remake_request import RemakeOptions, carry_out
from cli.options import JsonFlag


def remake(options: RemakeOptions, json: JsonFlag = False) -> None:
    """Make a pattern over to your squares and your seam: what to cut, trim and buy.

    For example:

    calicount remake pinwheel --square "4 3/4"

    calicount remake four-patch --seam "3/16" --sets 15 --shape crib

    calicount remake four-patch --out plans
    """
    from catalog.lengths import centimetres_shown

    with centimetres_shown(options.cm):
        check_folder(options)
        title, adapted = carry_out(options)
        written = write_plans(options, adapted)
        if json:
            from cli.cutting.remake_json import adapted_json

            console.say_json(adapted_json(title, adapted))
        else:
            from cli.cutting.remake_words import tell

            tell(title, adapted, cm=options.cm)
            tell_files(written)
    if not adapted.fits:
        raise typer.Exit(EXIT_SHORT)
