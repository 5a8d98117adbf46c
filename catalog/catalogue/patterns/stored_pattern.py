"""A pattern of one's own as it is kept, and what a list says of a pattern."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from catalog.catalogue.events.wall_events import name_of_text
from catalog.catalogue.patterns.pattern_events import WrittenPattern
from catalog.catalogue.undoing import next_redone, next_undone
from catalog.cutting.constructions import construction_of
from catalog.errors import PatternError
from catalog.pattern.pattern_file import pattern_text, shipped_files
from catalog.pattern.patterns import read_pattern

if TYPE_CHECKING:
    from catalog.catalogue.records import RecordedEvent
    from catalog.pattern.patterns import Pattern

MAX_READ: Final = 256
"""Patterns that stay read, by their text: each takes some ten kilobytes."""


@dataclass(frozen=True)
class StoredPattern:
    """A pattern of the catalogue at one version."""

    id: int
    name: str
    text: str
    """Of its file."""
    version: int
    """Rises by one with everything that is done to it."""
    events: tuple[RecordedEvent, ...]
    """All, those undone too; the first ones kept it and can't be undone."""
    added_at: str = ""
    removed: bool = False

    @property
    def undoes(self) -> RecordedEvent | None:
        """What undoing would take back; None for nothing."""
        return next_undone([one for one in self.events if one.made > 1])

    @property
    def redoes(self) -> RecordedEvent | None:
        """What would be done again; None for nothing."""
        return next_redone(self.events)

    @property
    def identity(self) -> str:
        """What its walls are known by, whatever it is called and says by now: its first text."""
        first = next(one.event for one in self.events if isinstance(one.event, WrittenPattern))
        return name_of_text(first.text)

    def read(self) -> Pattern:
        """Return it read from its text.

        Raises
        ------
        PatternError
            An earlier calicount kept what this one refuses.
        """
        return replace(read_once(self.text, self.name), identity=self.identity)


@dataclass(frozen=True)
class PatternLine:
    """A pattern in a list."""

    name: str
    title: str
    says: str
    """What it is, in a line."""
    construction: str
    """How it is built, in a few words."""
    id: int | None = None
    """None for one that comes with calicount."""
    version: int | None = None
    added_at: str = ""


@lru_cache(MAX_READ)
def read_once(text: str, name: str) -> Pattern:
    """Return the pattern that a text is; see `catalog.pattern.patterns.read_pattern`."""
    return read_pattern(text, name)


def line_of(stored: StoredPattern) -> PatternLine:
    """Return what a list says of a pattern that is kept; why, where it can't be read."""
    try:
        read = stored.read()
    except PatternError as error:
        title, says, built = stored.name, error.problem, "can't be read"
    else:
        title, says, built = read.title, read.description, construction_of(read.quilt)
    return PatternLine(stored.name, title, says, built, stored.id, stored.version, stored.added_at)


@lru_cache(1)
def shipped_lines() -> tuple[PatternLine, ...]:
    """Return what a list says of the patterns that come with calicount, the example last."""
    read = [read_once(pattern_text(name), name) for name in shipped_files()]
    return tuple(
        PatternLine(one.name, one.title, one.description, construction_of(one.quilt))
        for one in read
    )
