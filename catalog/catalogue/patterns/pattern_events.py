"""What a person does to a pattern that is kept: its file written, its name, and that it goes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Annotated, Any, Final

import msgspec
from msgspec import Meta

from catalog.catalogue.events.event_base import Event, UnknownEvent
from catalog.catalogue.records import RecordedEvent

MAX_LETTERS: Final = 1_000_000
"""Of a pattern's file; a pattern file that is read may have as many bytes."""
NameText = Annotated[str, Meta(min_length=1, max_length=80)]
FileText = Annotated[str, Meta(min_length=1, max_length=MAX_LETTERS)]


@dataclass(frozen=True)
class PatternState:
    """A pattern after all that was done to it."""

    name: str = ""
    text: str = ""
    """Of its file."""
    removed: bool = False


class PatternEvent(Event, frozen=True):
    """One thing done to a pattern; it changes no bundle, so nothing is applied to one."""

    def after(self, now: PatternState) -> PatternState:
        """Return the pattern as it stands after this."""
        raise NotImplementedError


class WrittenPattern(PatternEvent, frozen=True, tag="written"):
    """Its file says this from now on."""

    text: FileText
    says = "its file changed"

    def after(self, now: PatternState) -> PatternState:
        """Return it with this file."""
        return replace(now, text=self.text)


class NamedPattern(PatternEvent, frozen=True, tag="named"):
    """It is called so from now on."""

    name: NameText
    says = "called {name}"

    def after(self, now: PatternState) -> PatternState:
        """Return it with this name."""
        return replace(now, name=self.name)


class RemovedPattern(PatternEvent, frozen=True, tag="removed"):
    """It is listed no more; undoing this brings it back."""

    says = "removed"

    def after(self, now: PatternState) -> PatternState:
        """Return it out of the list."""
        return replace(now, removed=True)


PATTERN_EVENTS: Final[dict[str, type[PatternEvent]]] = {
    str(one.__struct_config__.tag): one for one in (WrittenPattern, NamedPattern, RemovedPattern)
}
"""By tag."""


def pattern_event_of(kind: str, args: Any) -> Event:  # noqa: ANN401 - as JSON gives it
    """Return the event of a row, an `UnknownEvent` where it isn't as calicount writes it."""
    try:
        event = msgspec.convert(args, PATTERN_EVENTS[kind])
    except (msgspec.ValidationError, KeyError, UnicodeError):
        return UnknownEvent(kind, args)
    return event if event.args.keys() == args.keys() else UnknownEvent(kind, args)


def pattern_after(events: Sequence[RecordedEvent]) -> PatternState:
    """Return what follows from a pattern's events, in order, those undone too.

    Raises
    ------
    KeyError
        One of them is of no known kind.
    """
    state = PatternState()
    for one in events:
        if not isinstance(one.event, PatternEvent):
            raise KeyError(one.event.kind)
        if not one.undone:
            state = one.event.after(state)
    return state


def text_at(events: Sequence[RecordedEvent], number: int) -> str | None:
    """Return the file as it was written by the event of a number or last before it."""
    written = [
        one.event.text
        for one in events
        if one.number <= number and isinstance(one.event, WrittenPattern)
    ]
    return written[-1] if written else None


def told_events(events: Sequence[RecordedEvent]) -> tuple[tuple[RecordedEvent, str], ...]:
    """Return what a history lists, each with its words: that it was kept is one thing, not two."""
    return tuple(
        (one, _words(one))
        for one in events
        if one.made > 1 or not isinstance(one.event, WrittenPattern)
    )


def _words(one: RecordedEvent) -> str:
    """Say what an event is, in a clause without a full stop."""
    if one.made == 1:
        return f"kept as {one.event.args.get('name', 'a pattern')}"
    return one.event.says.format(**one.event.args)
