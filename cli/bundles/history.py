"""``calicount undo``, ``redo`` and ``history``: what was done to a bundle, and its taking back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Annotated

import typer

from catalog.phrases import sentence
from cli import completion, console
from cli.bundles.named_squares import squares_of
from cli.bundles.open_bundle import opened, quoted, tell_change
from cli.options import BundleName, Manner

if TYPE_CHECKING:
    from catalog.catalogue.events.event_base import Event
    from catalog.catalogue.records import RecordedEvent, SeenSquare, StoredBundle

EventNumber = Annotated[
    int | None,
    typer.Argument(help="Its number in calicount history; else the last.", metavar="NUMBER"),
]


def undo(
    name: BundleName,
    number: EventNumber = None,
    *,
    manner: Manner,
) -> None:
    """Take back what the last command said or did, or what has that number in the history.

    For example:

    calicount undo blues

    calicount undo blues 3
    """
    _turned(name, number, manner, back=True)


def redo(
    name: BundleName,
    number: EventNumber = None,
    *,
    manner: Manner,
) -> None:
    """Do again what was taken back last, or what has that number in the history.

    For example:

    calicount redo blues
    """
    _turned(name, number, manner, back=False)


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
    *,
    manner: Manner,
) -> None:
    """List what was said and done about a bundle, numbered, and whether it still holds.

    Where a person put a square's corners or its place right, what the photo said stands beside it.

    For example:

    calicount history blues

    calicount history blues --square R3C4
    """
    from catalog.catalogue.events.event_words import words_of
    from cli.bundles.bundle_json import history_object

    with opened(manner, reading=True) as file:
        kept = file.bundle(name)
    seen = {one.id: one for one in kept.seen}
    only = {one.id for one in squares_of(kept, square)} if square else set()
    said = [
        (one, words_of(one, kept)) for one in kept.events if not only or only & set(one.event.about)
    ]
    console.answer(
        manner,
        lambda: history_object(kept, said, seen),
        lambda: _say_history(kept, said, seen),
    )


def _turned(name: str, number: int | None, manner: Manner, *, back: bool) -> None:
    """Undo or redo, and say what."""
    from catalog.catalogue.events.event_words import words_of

    with opened(manner) as catalogue, console.progress() as tell:
        before = catalogue.bundle(name)
        turn = catalogue.undo if back else catalogue.redo
        after = turn(name, number, tell=tell)
    was = {one.number: one.undone for one in before.events}
    turned = [one for one in after.events if one.undone != was.get(one.number, one.undone)]
    how = "taken back" if back else "holds again"
    again = f"calicount redo {quoted(after.name)} does it again."
    tell_change(
        before,
        after,
        turned,
        manner,
        lambda one: f", {how}: {one.number}. {words_of(one, before if back else after)}",
        footer=again if back and number is None else "",
    )


def _say_history(
    kept: StoredBundle, said: Sequence[tuple[RecordedEvent, str]], seen: Mapping[int, SeenSquare]
) -> None:
    for photo in sorted((*kept.photos, *kept.gone_photos), key=lambda one: one.number):
        console.tell(f"{_day(photo.added_at)}  {photo.name} added")
    if not said:
        console.tell(f"Nothing was said of {kept.name} since.")
    for one, words in said:
        gone = " (taken back)" if one.undone else ""
        beside = _photo_said(one.event, seen)
        console.tell(f"{_day(one.at)}  {one.number}. {words}{beside}{gone}")
    for note in kept.state.notes:
        console.tell(sentence(note))
    if said:
        console.tell(f"calicount undo {quoted(kept.name)} NUMBER takes one of them back.")


def _photo_said(event: Event, seen: Mapping[int, SeenSquare]) -> str:
    """Say what the photo said of a square whose outline or place a person put right."""
    from catalog.catalogue.events.square_events import MovedCorners, PlacedSquare

    if not isinstance(event, MovedCorners | PlacedSquare):
        return ""
    one = seen.get(event.square)
    if one is None or one.square is None:
        return ""
    square = one.square
    if isinstance(event, PlacedSquare):
        where = "none" if square.row is None else f"row {square.row}, column {square.col}"
        return f" (the photo said {where})"
    was = " ".join(f"{x:.0f},{y:.0f}" for x, y in square.corners)
    now = " ".join(f"{x:.0f},{y:.0f}" for x, y in event.corners)
    return f" to {now} (the photo said {was})"


def _day(at: str) -> str:
    """Return date and time as the person's clock showed them."""
    return at[:16].replace("T", " ")
