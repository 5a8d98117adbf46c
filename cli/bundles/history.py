"""``calicount undo``, ``redo`` and ``history``: what was done to a bundle, and its taking back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Annotated

import typer

from cli import completion, console
from cli.bundles.open_bundle import (
    MAX_EVENTS_TOLD,
    opened,
    quoted,
    renamed_lines,
    sentence,
    squares_of,
)
from cli.options import BundleName, CatalogueOption, JsonFlag, Manner, QuietFlag

if TYPE_CHECKING:
    from catalog.catalogue.records import Deed, Kept, SeenSquare

DeedNumber = Annotated[
    int | None,
    typer.Argument(help="Its number in calicount history; else the last.", metavar="NUMBER"),
]
ABOUT_OUTLINES = {"corners", "place"}
"""Kinds of deeds beside which stands what the photo said."""


def undo(
    name: BundleName,
    number: DeedNumber = None,
    catalogue: CatalogueOption = None,
    quiet: QuietFlag = False,
    json: JsonFlag = False,
) -> None:
    """Take back what the last command said or did, or what has that number in the history.

    For example:

    calicount undo blues

    calicount undo blues 3
    """
    _turned(name, number, Manner(catalogue, quiet, json), back=True)


def redo(
    name: BundleName,
    number: DeedNumber = None,
    catalogue: CatalogueOption = None,
    quiet: QuietFlag = False,
    json: JsonFlag = False,
) -> None:
    """Do again what was taken back last, or what has that number in the history.

    For example:

    calicount redo blues
    """
    _turned(name, number, Manner(catalogue, quiet, json), back=False)


def history(
    name: BundleName,
    square: Annotated[
        list[str] | None,
        typer.Option(
            help="Only what was said of this square.",
            metavar="SQUARE",
            autocompletion=completion.squares,
        ),
    ] = None,
    catalogue: CatalogueOption = None,
    quiet: QuietFlag = False,
    json: JsonFlag = False,
) -> None:
    """List what was said and done about a bundle, numbered, and whether it still holds.

    Where a person put a square's corners or its place right, what the photo said stands beside it.

    For example:

    calicount history blues

    calicount history blues --square R3C4
    """
    from catalog.catalogue.events.event_words import words_of
    from cli.bundles.bundle_json import history_json, squares_in

    with opened(Manner(catalogue), reading=True) as file:
        kept = file.bundle(name)
    seen = {one.id: one for one in kept.seen}
    only = {one.id for one in squares_of(kept, square)} if square else set()
    said = [
        (deed, words_of(deed, kept))
        for deed in kept.deeds
        if not only or only & set(squares_in(deed.args))
    ]
    if json:
        console.say_json(history_json(kept, said, seen))
    elif not quiet:
        _say_history(kept, said, seen)


def _turned(name: str, number: int | None, manner: Manner, *, back: bool) -> None:
    """Undo or redo, and say what."""
    from catalog.catalogue.events.event_words import words_of

    with opened(manner) as catalogue, console.progress() as tell:
        before = catalogue.bundle(name)
        turn = catalogue.undo if back else catalogue.redo
        after = turn(name, number, tell=tell)
    was = {deed.number: deed.undone for deed in before.deeds}
    turned = [one for one in after.deeds if one.undone != was.get(one.number, one.undone)]
    fresh = [note for note in after.state.notes if note not in before.state.notes]
    if manner.json:
        from cli.bundles.bundle_json import change_json

        console.say_json(change_json(after, turned, fresh))
    elif not manner.quiet:
        how = "taken back" if back else "holds again"
        for deed in turned[:MAX_EVENTS_TOLD]:
            words = words_of(deed, before if back else after)
            console.tell(f"{after.name}, {how}: {deed.number}. {words}.")
        if len(turned) > MAX_EVENTS_TOLD:
            console.tell(f"{after.name}: and {len(turned) - MAX_EVENTS_TOLD:,} more of the kind.")
        for line in (*renamed_lines(before, after), *fresh):
            console.tell(f"  {sentence(line)}")
        if back and number is None:
            console.tell(f"  calicount redo {quoted(after.name)} does it again.")


def _say_history(
    kept: Kept, said: Sequence[tuple[Deed, str]], seen: Mapping[int, SeenSquare]
) -> None:
    for photo in sorted((*kept.photos, *kept.gone_photos), key=lambda one: one.number):
        console.tell(f"{_day(photo.added_at)}  {photo.name} added")
    if not said:
        console.tell(f"Nothing was said of {kept.name} since.")
    for deed, words in said:
        gone = " (taken back)" if deed.undone else ""
        beside = _photo_said(deed, seen)
        console.tell(f"{_day(deed.at)}  {deed.number}. {words}{beside}{gone}")
    for note in kept.state.notes:
        console.tell(sentence(note))
    if said:
        console.tell(f"calicount undo {quoted(kept.name)} NUMBER takes one of them back.")


def _photo_said(deed: Deed, seen: Mapping[int, SeenSquare]) -> str:
    """Say what the photo said of a square whose outline or place a person put right."""
    if deed.kind not in ABOUT_OUTLINES:
        return ""
    one = seen.get(deed.args["square"])
    if one is None or one.square is None:
        return ""
    square = one.square
    if deed.kind == "place":
        where = "none" if square.row is None else f"row {square.row}, column {square.col}"
        return f" (the photo said {where})"
    was = " ".join(f"{x:.0f},{y:.0f}" for x, y in square.corners)
    now = " ".join(f"{x:.0f},{y:.0f}" for x, y in deed.args["corners"])
    return f" to {now} (the photo said {was})"


def _day(at: str) -> str:
    """Return date and time as the person's clock showed them."""
    return at[:16].replace("T", " ")
