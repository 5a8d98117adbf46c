"""``calicount patterns``: the patterns that come with the tool."""

from __future__ import annotations

from typing import Annotated

import typer

from cli import console
from cli.options import JsonFlag


def patterns(
    show: Annotated[
        str | None,
        typer.Option(help="Print this pattern's file, to copy and change.", metavar="NAME"),
    ] = None,
    json: JsonFlag = False,
) -> None:
    """List the patterns that come with calicount.

    For example:

    calicount patterns

    calicount patterns --show example > my-quilt.toml
    """
    from catalog.pattern.pattern_file import pattern_text
    from catalog.pattern.patterns import shipped_patterns

    if show is not None:
        text = pattern_text(show).rstrip("\n")
        if json:
            console.say_json(console.json_text({"pattern": show, "text": text}))
        else:
            console.say_text(text)
        return
    rows = [(name, title, about) for name, title, about in shipped_patterns()]
    if json:
        listed = [{"name": name, "title": title, "about": about} for name, title, about in rows]
        console.say_json(console.json_text({"patterns": listed}))
        return
    console.table("Patterns", ("name", "title", "what it is"), rows, words=3)
    console.tell(
        "Use one as in: calicount count PHOTO --pattern pinwheel. "
        "The name of a file of your own may stand there too."
    )
