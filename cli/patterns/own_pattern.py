"""``calicount pattern keep`` and what is done to a pattern that is kept."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from cli import completion, console
from cli.bundles.open_bundle import opened, quoted
from cli.options import Manner, ReplaceFlag

if TYPE_CHECKING:
    from catalog.catalogue.patterns.pattern_catalogue import OwnPatterns
    from catalog.catalogue.patterns.stored_pattern import StoredPattern

PatternName = Annotated[
    str,
    typer.Argument(
        help="Name of the pattern.", metavar="PATTERN", autocompletion=completion.own_patterns
    ),
]
NewName = Annotated[str, typer.Argument(help="Its new name.", metavar="NEW-NAME")]


def keep(
    name: Annotated[str, typer.Argument(help="What to call it.", metavar="NAME")],
    file: Annotated[str, typer.Argument(help="The pattern file.", metavar="FILE")],
    *,
    manner: Manner,
) -> None:
    """Keep a pattern file under a name, so that --pattern finds it by that.

    Where a pattern of yours is called so already, its file changes; that can be undone.

    For example:

    calicount pattern keep porch my-quilt.toml
    """
    from catalog.pattern.pattern_file import pattern_text

    text = pattern_text(file)
    with own_patterns(manner) as own:
        known = own.find(name)
        done = own.keep(name, text) if known is None else own.write(known.id, text)
    changed = known is not None and done.version != known.version
    if known is None:
        said = f"{done.name} is kept; calicount count PHOTO --pattern {quoted(done.name)} uses it."
    elif changed:
        said = f"{done.name} is as that file says now; {_undo(done)}"
    else:
        said = f"{done.name} says that already."
    answer(done, manner, said)


def show(
    name: PatternName,
    number: Annotated[
        int | None,
        typer.Option(help="As it was after this number of its history.", metavar="NUMBER"),
    ] = None,
    *,
    manner: Manner,
) -> None:
    """Print the file of a pattern that you keep, as it is or as it was.

    For example:

    calicount pattern show porch

    calicount pattern show porch --number 2
    """
    from catalog.catalogue.patterns.pattern_events import text_at
    from catalog.errors import CatalogueError

    with own_patterns(manner, reading=True) as own:
        kept = own.named(name)
    text = kept.text if number is None else text_at(kept.events, number)
    if text is None:
        raise CatalogueError(
            f"the history of {kept.name} has no number {number}",
            f"calicount pattern history {quoted(kept.name)} lists what was done",
        )
    console.answer(
        manner,
        lambda: {**pattern_object(kept), "text": text},
        lambda: console.say_text(text.rstrip("\n")),
    )


def copy(name: PatternName, other: NewName, *, manner: Manner) -> None:
    """Make a pattern of your own of another: of yours, or of one that comes with calicount.

    For example:

    calicount pattern copy pinwheel "porch pinwheels"
    """
    from catalog.pattern.pattern_file import pattern_text, shipped_name

    shipped = shipped_name(name)
    with own_patterns(manner) as own:
        if shipped:
            done = own.keep(other, pattern_text(shipped))
        else:
            done = own.copy(own.named(name), other)
    answer(done, manner, f"{done.name} is kept, a copy of {shipped or name}.")


def rename(name: PatternName, other: NewName, *, manner: Manner) -> None:
    """Give a pattern of yours another name.

    For example:

    calicount pattern rename porch "summer porch"
    """
    with own_patterns(manner) as own:
        before = own.named(name)
        done = own.rename(before.id, other)
    answer(done, manner, f"{before.name} is now called {done.name}; {_undo(done)}")


def remove(name: PatternName, *, manner: Manner) -> None:
    """Take a pattern of yours out of the list; undoing that brings it back.

    For example:

    calicount pattern remove porch
    """
    with own_patterns(manner) as own:
        done = own.remove(own.named(name).id)
    undo = f"calicount pattern undo {quoted(done.name)} brings it back."
    answer(done, manner, f"{done.name} is removed; {undo}")


def export_file(
    name: PatternName,
    file: Annotated[Path, typer.Argument(help="The file to write, such as porch.toml.")],
    replace: ReplaceFlag = False,
    *,
    manner: Manner,
) -> None:
    """Write a pattern of yours into a pattern file, to change there or to give away.

    For example:

    calicount pattern export porch porch.toml
    """
    from catalog.catalogue.store.file_copy import written_beside

    with own_patterns(manner, reading=True) as own:
        kept = own.named(name)
    with written_beside(file, over=replace) as part:
        part.write_bytes(kept.text.encode("utf-8"))
    console.answer(
        manner,
        lambda: {**pattern_object(kept), "file": str(file)},
        lambda: console.tell(f"{kept.name} is in '{file}'."),
    )


@contextmanager
def own_patterns(manner: Manner, *, reading: bool = False) -> Iterator[OwnPatterns]:
    """Open the patterns of the catalogue that a command means, or only to read them."""
    from catalog.catalogue.patterns.pattern_catalogue import OwnPatterns

    with opened(manner, reading=reading) as catalogue:
        yield OwnPatterns(catalogue)


def answer(done: StoredPattern, manner: Manner, said: str) -> None:
    """Say what was done to a pattern."""
    console.answer(manner, lambda: pattern_object(done), lambda: console.tell(said))


def pattern_object(kept: StoredPattern) -> dict[str, object]:
    """Return what programs are told of a pattern that is kept."""
    return {
        "pattern": kept.name, "version": kept.version, "removed": kept.removed,
        "added_at": kept.added_at,
    }  # fmt: skip


def _undo(done: StoredPattern) -> str:
    return f"calicount pattern undo {quoted(done.name)} takes it back."
