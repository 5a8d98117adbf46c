"""``calicount bundles``, ``rename`` and ``remove``: the bundles that are kept."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from catalog.errors import CatalogueError
from catalog.phrases import count_of, listed
from cli import console
from cli.bundles.open_bundle import opened, quoted
from cli.options import BundleName, Manner

if TYPE_CHECKING:
    from collections.abc import Sequence

    from catalog.catalogue.records import StoredBundle
    from catalog.catalogue.store.bundle_list import BundleLine

COLUMNS = ("bundle", "kept since", "set aside for", "square", "photos", "squares", "free")


def bundles(*, manner: Manner) -> None:
    """List the bundles that are kept.

    For example:

    calicount bundles

    calicount bundles --catalogue aunts.catalogue
    """
    with opened(manner, reading=True) as file:
        lines = file.lines()
    from cli.bundles.bundle_json import list_object

    console.answer(manner, lambda: list_object(lines), lambda: _say(lines))


def rename(
    name: BundleName,
    other: Annotated[str, typer.Argument(help="Its new name.", metavar="NEW-NAME")],
    *,
    manner: Manner,
) -> None:
    """Give a bundle another name.

    For example:

    calicount rename blues "winter blues"
    """
    with opened(manner) as file:
        before = file.bundle(name).name
        file.rename(name, other)
        after = file.bundle(other)
    console.answer(
        manner,
        lambda: {"bundle": after.name, "was": before, "version": after.version},
        lambda: console.tell(f"{before} is now called {after.name}."),
    )


def remove(
    name: BundleName,
    yes: Annotated[bool, typer.Option("--yes", help="Really remove it.", metavar="")] = False,
    *,
    manner: Manner,
) -> None:
    """Remove a bundle with its photos and all that was said of it; this can't be undone.

    Without --yes nothing is removed and you hear what would go.

    For example:

    calicount remove blues

    calicount remove blues --yes
    """
    with opened(manner) as file:
        kept = file.bundle(name)
        if not yes:
            raise CatalogueError(
                f"with {kept.name} would go {_holdings(kept)}, for good",
                f"keep a copy with calicount export, or remove it with: "
                f"calicount remove {quoted(kept.name)} --yes",
            )
        file.remove(name)
    console.answer(
        manner,
        lambda: {"bundle": kept.name, "removed": True},
        lambda: console.tell(f"{kept.name} is removed, with {_holdings(kept)}."),
    )


def _say(lines: Sequence[BundleLine]) -> None:
    if lines:
        console.table("Bundles", COLUMNS, [_row(line) for line in lines], words=3)
    else:
        console.tell("No bundle is kept yet. Keep one with: calicount add NAME PHOTO")


def _holdings(kept: StoredBundle) -> str:
    """Say what a bundle holds."""
    said = sum(not one.undone for one in kept.events)
    held = [count_of(len(kept.photos), "photo"), count_of(len(kept.swatches), "square")]
    if kept.gone_photos:
        held.insert(1, count_of(len(kept.gone_photos), "photo taken out", "photos taken out"))
    if said:
        held.append(f"{count_of(said, 'thing')} said or done about them")
    return f"{', '.join(held[:-1])} and {held[-1]}"


def _row(line: BundleLine) -> tuple[str, ...]:
    from catalog.lengths import show_length

    return (
        line.name,
        line.added_at[:10],
        listed(line.projects),
        show_length(line.side, step=None),
        str(line.photos),
        str(line.squares),
        str(line.free),
    )
