"""``calicount patterns``: the patterns that come with the tool."""

from __future__ import annotations

from typing import Annotated

import typer

from cli import console


def patterns(
    show: Annotated[
        str | None,
        typer.Option(help="Print this pattern's file, to copy and change.", metavar="NAME"),
    ] = None,
) -> None:
    """List the patterns that come with calicount.

    For example:

    calicount patterns

    calicount patterns --show example > my-quilt.toml
    """
    from catalog.pattern import shipped_patterns
    from catalog.pattern_file import pattern_text

    if show is not None:
        console.say(pattern_text(show).rstrip("\n"))
        return
    rows = [(name, title, about) for name, title, about in shipped_patterns()]
    console.table("Patterns", ("name", "title", "what it is"), rows, words=3)
    console.tell(
        "Use one as in: calicount count PHOTO --pattern pinwheel. "
        "The name of a file of your own may stand there too."
    )
