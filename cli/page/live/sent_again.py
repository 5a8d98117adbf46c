"""What the page sends again because no answer came: whether it was done the first time."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import structs

from catalog.catalogue.events.square_events import MissedSquare
from catalog.errors import CalicountError
from cli.page.event_input import events_of
from cli.page.input_checks import Args

if TYPE_CHECKING:
    from catalog.catalogue.events.event_base import Event
    from catalog.catalogue.records import RecordedEvent, StoredBundle


def was_done(body: Args, kept: StoredBundle, seen: int, way: str) -> bool:
    """Tell whether what a page did at a version is what led to the next one.

    Parameters
    ----------
    body : mapping
        What it sends, for the second time if it says so.
    kept : StoredBundle
        As it stands.
    seen : int
        The version that the page saw.
    way : str
        ``do``, ``undo`` or ``redo``.
    """
    if body.get("again") is not True or kept.version <= seen:
        return False
    made = [one.event for one in kept.events if one.made == seen + 1]
    undone = [one for one in kept.events if one.undone == seen + 1]
    if way == "do":
        return _same(made, body, kept)
    if way == "undo":
        return _meant(undone, body)
    # What holds again bears no number of the version at which it came to.
    holding = [one for one in kept.events if not one.undone]
    return kept.version == seen + 1 and not made and not undone and _meant(holding, body)


def _same(made: list[Event], body: Args, kept: StoredBundle) -> bool:
    try:
        asked = events_of(body, kept)
    except CalicountError:  # it makes no sense any more, as when a square is gone by it
        return False
    return len(made) == len(asked) and all(map(_alike, made, asked))


def _alike(made: Event, asked: Event) -> bool:
    if isinstance(made, MissedSquare) and isinstance(asked, MissedSquare):
        return structs.replace(made, square=asked.square) == asked
    return made == asked


def _meant(those: list[RecordedEvent], body: Args) -> bool:
    number = body.get("number")
    return any(number in {None, one.number} for one in those)
