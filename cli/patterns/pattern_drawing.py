"""``calicount pattern drawing``: a picture of a drawn block read to a pattern file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from cli import console
from cli.options import JsonFlag, length

if TYPE_CHECKING:
    from fractions import Fraction

    from catalog.pattern.drawing.drawing_values import DrawingProposal


def drawing(
    photo: Annotated[
        Path,
        typer.Argument(help="A photo, scan or screenshot of one block's diagram.", metavar="PHOTO"),
    ],
    finished: Annotated[
        str | None, length("How large the block is once it is sewn in; else about 12 in.")
    ] = None,
    seam: Annotated[str, length("The seam to sew it with.")] = "1/4",
    json: JsonFlag = False,
) -> None:
    """Read the diagram of a block from a photo, a scan or a screenshot, as a pattern file.

    It is a proposal: hold it against the picture. What is hard to make out is told beside it.

    For example:

    calicount pattern drawing page.jpg > my-quilt.toml

    calicount pattern drawing page.jpg --finished 9 --json
    """
    from catalog.length_text import parse_length
    from catalog.pattern.drawing.drawing_reading import read_drawing
    from catalog.photo import read_photo
    from cli.patterns.drawing_view import proposal_view

    size, allowance = finished and parse_length(finished), parse_length(seam)
    found = read_drawing(read_photo(photo).pixels)
    if json:
        console.say_json(console.json_text(proposal_view(found)))
    else:
        _tell(found, size or found.drawn.usual_size, allowance)


def _tell(found: DrawingProposal, finished: Fraction, seam: Fraction) -> None:
    """Print the pattern file, and beside it what was read and what is doubtful."""
    from catalog.pattern.blocks.coloured_block import grid_lines
    from catalog.phrases import sentence
    from cli.patterns.drawing_view import proposal_text

    block = found.drawn.block
    console.say_text(proposal_text(found, finished, seam).rstrip("\n"))
    console.mention(f"Read: a block of {block.down} x {block.across} cells, to be looked over.")
    for line in grid_lines(block):
        console.mention(f"    {line}")
    for doubt in found.doubts:
        console.mention(sentence(doubt))
