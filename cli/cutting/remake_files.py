"""The files of a pattern made over: what to cut and buy as tables, the cutting plans drawn."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final

from cli import console

if TYPE_CHECKING:
    from collections.abc import Sequence

    from catalog.cutting.adapted.adaptation import AdaptedPattern
    from cli.cutting.remake_request import RemakeOptions

FILES: Final = ("cutting.csv", "buying.csv", "cutting-plan.jpg")


def check_folder(options: RemakeOptions) -> None:
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


def write_plans(options: RemakeOptions, adapted: AdaptedPattern) -> Sequence[Path]:
    """Write the files where a folder was named; return those written."""
    from catalog.report.output_files import write_files
    from cli.counting.count_plan import cutting_contents

    if options.out is None:
        return ()
    contents = cutting_contents(adapted)
    return write_files(options.out, contents, ours=FILES, replace=options.replace)


def tell_files(written: Sequence[Path]) -> None:
    """Say what was written."""
    from cli.wording import file_lines

    if written:
        console.say("")
        console.say(f"Written to the folder {written[0].parent}:")
        for line in file_lines(path.name for path in written):
            console.say(line)
