"""A pattern of one's own as it is kept, and what a list says of a pattern."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from threading import Lock
from typing import TYPE_CHECKING, Final

from catalog.catalogue.events.wall_events import name_of_text
from catalog.catalogue.patterns.pattern_events import NamedPattern, WrittenPattern
from catalog.catalogue.undoing import next_redone, next_undone
from catalog.cutting.constructions import construction_of
from catalog.errors import PatternError
from catalog.pattern.pattern_file import pattern_text, shipped_files
from catalog.pattern.patterns import read_pattern

if TYPE_CHECKING:
    from collections.abc import Iterable

    from catalog.catalogue.records import RecordedEvent
    from catalog.pattern.patterns import Pattern

MAX_READ: Final = 256
"""Patterns that stay read, by their text: each takes some ten kilobytes."""
_READING: Final = Lock()


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

    @property
    def former_names(self) -> tuple[str, ...]:
        """What it was called before."""
        names = [one.event.name for one in self.events if isinstance(one.event, NamedPattern)]
        return tuple(dict.fromkeys(name for name in names if name != self.name))

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
    holds: tuple[str, ...] = ()
    """Names of its units and pieces, by which it can be looked for."""

    def has(self, words: Iterable[str]) -> bool:
        """Whether all words stand in what is known of it, in any case; `-` counts as a blank."""
        told = " ".join((self.name, self.title, self.says, self.construction, *self.holds))
        plain = told.casefold().replace("-", " ")
        return all(word.casefold().replace("-", " ") in plain for word in words)


@lru_cache(MAX_READ)
def read_once(text: str, name: str) -> Pattern:
    """Return the pattern that a text is; see `catalog.pattern.patterns.read_pattern`."""
    return read_pattern(text, name)


def line_of(stored: StoredPattern) -> PatternLine:
    """Return what a list says of a pattern that is kept; why, where it can't be read."""
    try:
        line = line_of_pattern(stored.read())
    except PatternError as error:
        line = PatternLine(stored.name, stored.name, error.problem, "can't be read")
    return replace(line, id=stored.id, version=stored.version, added_at=stored.added_at)


def line_of_pattern(read: Pattern) -> PatternLine:
    """Return what a list says of a pattern that isn't kept."""
    units = [unit.unit for unit in read.quilt.units] if read.quilt else []
    pieces = [text for need in read.needs for text in (need.name, need.piece)]
    return PatternLine(
        read.name,
        read.title,
        read.description,
        construction_of(read.quilt),
        holds=tuple(dict.fromkeys((*units, *pieces))),
    )


def shipped_read() -> tuple[Pattern, ...]:
    """Return the patterns that come with calicount, the example last.

    Who asks while they are read waits for it, and doesn't read them as well.
    """
    with _READING:
        return _shipped_read()


@lru_cache(1)
def _shipped_read() -> tuple[Pattern, ...]:
    return tuple(read_once(pattern_text(name), name) for name in shipped_files())


def shipped_lines() -> tuple[PatternLine, ...]:
    """Return what a list says of each of them."""
    return tuple(map(line_of_pattern, shipped_read()))
