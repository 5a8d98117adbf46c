"""``calicount patterns``: those that come with the tool, and one's own."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from cli import completion, console
from cli.bundles.open_bundle import opened
from cli.options import Manner, MannerJsonFirst

if TYPE_CHECKING:
    from catalog.catalogue.patterns.stored_pattern import PatternLine


def patterns(
    words: Annotated[
        list[str] | None,
        typer.Argument(
            help="Only those that have these words in name, title, description, units or pieces.",
            metavar="[WORD]...",
        ),
    ] = None,
    show: Annotated[
        str | None,
        typer.Option(
            help="Print this pattern's file, to copy and change.",
            metavar="NAME",
            autocompletion=completion.patterns,
        ),
    ] = None,
    *,
    manner: MannerJsonFirst,
) -> None:
    """List the patterns that come with calicount, and those that you keep.

    For example:

    calicount patterns

    calicount patterns flying geese

    calicount patterns --show example > my-quilt.toml
    """
    if show is not None:
        _show(show, manner)
        return
    lines = [line for line in _lines(manner) if line.has(words or ())]
    if manner.json:
        console.say_json(console.json_text({"patterns": [_listed(line) for line in lines]}))
        return
    if not lines:
        console.tell(f"No pattern has the words {' '.join(words or ())}.")
        return
    _say("Patterns that come with calicount", [line for line in lines if line.id is None])
    _say("Patterns of yours", [line for line in lines if line.id is not None])
    console.tell(
        "Use one as in: calicount count PHOTO --pattern pinwheel. The name of a file of your own "
        "may stand there too; calicount pattern keep NAME FILE keeps it."
    )


def _show(name: str, manner: Manner) -> None:
    """Print a pattern's file as it is."""
    from catalog.catalogue.patterns.named_patterns import find_pattern

    text = find_pattern(name, manner.catalogue).text.rstrip("\n")
    if manner.json:
        console.say_json(console.json_text({"pattern": name, "text": text}))
    else:
        console.say_text(text)


def _lines(manner: Manner) -> tuple[PatternLine, ...]:
    from catalog.catalogue.patterns.pattern_catalogue import OwnPatterns
    from catalog.catalogue.patterns.stored_pattern import shipped_lines

    with opened(manner, reading=True) as catalogue:
        return (*shipped_lines(), *OwnPatterns(catalogue).lines())


def _say(title: str, lines: list[PatternLine]) -> None:
    if lines:
        rows = [(one.name, one.title, one.says) for one in lines]
        console.table(title, ("name", "title", "what it is"), rows, words=3)


def _listed(line: PatternLine) -> dict[str, Any]:
    return {
        "name": line.name, "title": line.title, "about": line.says,
        "construction": line.construction, "own": line.id is not None, "version": line.version,
    }  # fmt: skip
