"""``calicount remake``: a pattern made over to the squares in hand, before anything is cut."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final

import typer

from catalog.errors import EXIT_SHORT
from cli import console
from cli.cutting.remake_request import RemakeOptions, carry_out
from cli.options import JsonFlag

if TYPE_CHECKING:
    from collections.abc import Sequence

    from catalog.cutting.adapted.adaptation import AdaptedPattern

FILES: Final = ("cutting.csv", "buying.csv", "cutting-plan.jpg")
"""What it writes with ``--out``."""


def remake(options: RemakeOptions, json: JsonFlag = False) -> None:
    """Make a pattern over to your squares and your seam: what to cut, trim and buy.

    For example:

    calicount remake pinwheel --square "4 3/4"

    calicount remake four-patch --seam "3/16" --sets 15 --shape crib

    calicount remake four-patch --out plans
    """
    from catalog.lengths import centimetres_shown

    with centimetres_shown(options.cm):
        _check_folder(options)
        title, adapted = carry_out(options)
        written = _write_plans(options, adapted)
        if json:
            from cli.cutting.remake_json import adapted_json

            console.say_json(adapted_json(title, adapted))
        else:
            from cli.cutting.remake_words import tell

            tell(title, adapted, cm=options.cm)
            _tell_files(written)
    if not adapted.fits:
        raise typer.Exit(EXIT_SHORT)


def _check_folder(options: RemakeOptions) -> None:
    """Refuse a folder that can't be written to before the work begins.

    Raises
    ------
    OutputError
        It can't be made or written to, or files of an earlier run are there.
    """
    from catalog.report.output_files import refuse_taken
    from cli.counting.output_folder import check_writable

    if options.out is None:
        return
    check_writable(options.out)
    if not options.replace:
        refuse_taken(options.out, FILES)


def _write_plans(options: RemakeOptions, adapted: AdaptedPattern) -> Sequence[Path]:
    """Write the files where a folder was named; return those written."""
    from catalog.report.output_files import write_files
    from cli.counting.count_plan import cutting_contents

    if options.out is None:
        return ()
    contents = cutting_contents(adapted)
    return write_files(options.out, contents, ours=FILES, replace=options.replace)


def _tell_files(written: Sequence[Path]) -> None:
    """Say what was written."""
    from cli.wording import file_lines

    if written:
        console.say("")
        console.say(f"Written to the folder {written[0].parent}:")
        for line in file_lines(path.name for path in written):
            console.say(line)
