"""``calicount pattern blocks``: blocks with names, to start a pattern from."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from cli import console
from cli.options import JsonFlag, length

if TYPE_CHECKING:
    from catalog.pattern.blocks.known_blocks import KnownBlock


def blocks(
    name: Annotated[
        str | None,
        typer.Argument(help="A block's name, to print its pattern file.", metavar="[NAME]"),
    ] = None,
    finished: Annotated[
        str | None, length("How large the block is once it is sewn in; else about 12 in.")
    ] = None,
    seam: Annotated[str, length("The seam to sew it with.")] = "1/4",
    json: JsonFlag = False,
) -> None:
    """List blocks with their traditional names, or print one as a pattern file to start from.

    For example:

    calicount pattern blocks

    calicount pattern blocks shoofly > my-quilt.toml

    calicount pattern blocks "Ohio star" --finished 9
    """
    from catalog.pattern.blocks.known_blocks import find_block, known_blocks
    from cli.patterns.block_view import known_view

    if name is not None:
        _start(find_block(name), finished, seam, json=json)
        return
    if json:
        told = {"blocks": [known_view(one) for one in known_blocks()]}
        console.say_json(console.json_text(told))
        return
    rows = [
        (
            ", ".join((one.name, *one.other_names)),
            f"{one.drawn.block.across} x {one.drawn.block.down}",
            ", ".join(f"{source.author} {source.year}" for source in one.sources),
        )
        for one in known_blocks()
    ]
    console.table("Blocks", ("name", "cells", "printed by"), rows, words=3)
    console.tell("Start from one as in: calicount pattern blocks shoofly > my-quilt.toml")


def _start(known: KnownBlock, finished: str | None, seam: str, *, json: bool) -> None:
    """Print a block's pattern file."""
    from catalog.length_text import parse_length
    from catalog.pattern.blocks.block_pieces import pieces_of_block
    from catalog.pattern.blocks.block_text import block_text
    from catalog.pattern.patterns import read_pattern
    from cli.patterns.block_view import known_view, source_words

    size = known.drawn.usual_size if finished is None else parse_length(finished)
    pieced = pieces_of_block(known.drawn, size, parse_length(seam))
    notes = ["A block of the public domain. Printed in", *map(source_words, known.sources)]
    told = f"12 blocks of the {known.name}."
    text = block_text(pieced, f"{known.name[0].upper()}{known.name[1:]}", told, notes)
    read_pattern(text, known.name)
    if json:
        console.say_json(console.json_text({**known_view(known), "text": text}))
    else:
        console.say_text(text.rstrip("\n"))
