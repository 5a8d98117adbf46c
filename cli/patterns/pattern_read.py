"""``calicount pattern read``: cutting instructions in words, read to pieces."""

from __future__ import annotations

from typing import Annotated

import typer

from cli import console
from cli.options import JsonFlag


def read(
    file: Annotated[
        str,
        typer.Argument(
            help="A text file with cutting instructions; - for what you paste or pipe.",
            metavar="FILE",
        ),
    ],
    json: JsonFlag = False,
) -> None:
    """Read cutting instructions as patterns print them: what is cut from which cloth.

    Each piece stands beside the words that it was read from. What wasn't understood is told, and so
    are numbers that disagree: strips that don't give the squares said, too little cloth.

    For example:

    calicount pattern read instructions.txt

    calicount pattern read - --json
    """
    from catalog.pattern.words.instruction_reading import read_instructions
    from cli.patterns.instruction_file import instruction_text
    from cli.patterns.pattern_read_words import read_json, read_lines

    found = read_instructions(instruction_text(file))
    if json:
        console.say_json(console.json_text(read_json(found)))
    else:
        console.tell_lines(read_lines(found))
