"""Patterns of one's own in the catalogue: kept, changed, named, copied, removed, undone.

Nothing has to be measured, so each change is worked out and written in one transaction.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Sequence
from itertools import count
from typing import TYPE_CHECKING

from catalog.catalogue.events.event_base import Event
from catalog.catalogue.patterns import pattern_rows
from catalog.catalogue.patterns.pattern_events import (
    NamedPattern,
    PatternState,
    RemovedPattern,
    WrittenPattern,
    pattern_after,
)
from catalog.catalogue.patterns.pattern_input import fit_pattern_name, kept_first, refuse_unread
from catalog.catalogue.patterns.stored_pattern import PatternLine, StoredPattern, line_of
from catalog.catalogue.records import RecordedEvent
from catalog.catalogue.store.bundle_list import tidy
from catalog.catalogue.store.catalogue_file import explained
from catalog.catalogue.store.file_transactions import transaction
from catalog.catalogue.store.row_writing import now
from catalog.catalogue.undoing import with_again, without
from catalog.errors import CatalogueError, StaleError
from catalog.pattern.pattern_file import shipped_name
from catalog.phrases import quoted_if_spaced

if TYPE_CHECKING:
    from catalog.catalogue.bundle_catalogue import Catalogue

_Change = Callable[[StoredPattern], Sequence[RecordedEvent]]


class OwnPatterns:
    """The patterns of an open catalogue.

    Parameters
    ----------
    catalogue : Catalogue
    """

    def __init__(self, catalogue: Catalogue) -> None:
        self._catalogue = catalogue
        self._sql = catalogue.connection

    def all(self) -> tuple[StoredPattern, ...]:
        """Return the patterns that are kept, by name."""
        return self._catalogue.read(pattern_rows.stored_patterns)

    def lines(self) -> tuple[PatternLine, ...]:
        """Return what a list says of each."""
        return tuple(line_of(one) for one in self.all())

    def numbered(self, number: int) -> StoredPattern:
        """Return the pattern of a number, one that was removed too.

        Raises
        ------
        CatalogueError
            There is none.
        """
        return self._catalogue.read(lambda sql: pattern_rows.stored_pattern(sql, number))

    def find(self, name: str, *, removed: bool = False) -> StoredPattern | None:
        """Return the pattern of a name, in any case; None for none.

        With ``removed``, the one of that name that was removed last, where none is kept.
        """

        def found(sql: sqlite3.Connection) -> StoredPattern | None:
            number = pattern_rows.number_of(sql, tidy(name), removed=removed)
            return None if number is None else pattern_rows.stored_pattern(sql, number)

        return self._catalogue.read(found)

    def once_called(self, name: str) -> StoredPattern | None:
        """Return the one pattern that was called so before it was renamed; None for none or two."""
        folded = tidy(name).casefold()
        found = [one for one in self.all() if folded in map(str.casefold, one.former_names)]
        return found[0] if len(found) == 1 else None

    def named(self, name: str, *, removed: bool = False) -> StoredPattern:
        """Return the pattern of a name, as `find`.

        Raises
        ------
        CatalogueError
            There is none.
        """
        found = self.find(name, removed=removed)
        if found is not None:
            return found
        if shipped_name(name):
            raise CatalogueError(
                f"{shipped_name(name)} comes with calicount and stays as it is",
                f"calicount pattern copy {shipped_name(name)} NEW-NAME makes one of your own of it",
            )
        raise CatalogueError(
            f"no pattern of yours is called '{name}'", "calicount patterns lists them"
        )

    def keep(self, name: str, text: str) -> StoredPattern:
        """Keep a pattern under a name.

        Parameters
        ----------
        name : str
        text : str
            Of its pattern file.

        Raises
        ------
        CatalogueError
            It can't be called so, or another is.
        PatternError
            The text is no pattern.
        """
        fit = fit_pattern_name(name)
        refuse_unread(text, fit)
        with explained(self._catalogue.path), transaction(self._sql):
            self._refuse_taken(fit)
            number = pattern_rows.put_pattern(self._sql, kept_first(fit, text))
            return pattern_rows.stored_pattern(self._sql, number)

    def write(self, number: int, text: str, seen_version: int | None = None) -> StoredPattern:
        """Let a pattern say something else from now on; as it is where it says that already.

        Raises
        ------
        StaleError
            It has another version by now.
        PatternError
            The text is no pattern.
        """
        refuse_unread(text, self.numbered(number).name)
        return self._do(number, WrittenPattern(text), seen_version)

    def rename(self, number: int, name: str, seen_version: int | None = None) -> StoredPattern:
        """Give a pattern another name."""
        return self._do(number, NamedPattern(fit_pattern_name(name)), seen_version)

    def remove(self, number: int, seen_version: int | None = None) -> StoredPattern:
        """Take a pattern out of the list; undoing that brings it back."""
        return self._do(number, RemovedPattern(), seen_version)

    def copy(self, source: StoredPattern, name: str | None = None) -> StoredPattern:
        """Keep a pattern a second time, with a history of its own.

        Parameters
        ----------
        source : StoredPattern
        name : str, optional
            Of the copy; made from the pattern's if None.
        """
        return self.keep(name or self.free_name(f"{source.name[:70]} copy"), source.text)

    def free_name(self, name: str) -> str:
        """Return a name, numbered where a pattern is called so already."""
        taken = {one.name.casefold() for one in self.all()}
        names = (name if number == 1 else f"{name} {number}" for number in count(1))
        return next(one for one in names if one.casefold() not in taken and not shipped_name(one))

    def undo(self, number: int, seen_version: int | None = None) -> StoredPattern:
        """Take back what was done to a pattern last.

        Raises
        ------
        CatalogueError
            There is nothing to take back, or its old name is another's by now.
        """

        def undone(kept: StoredPattern) -> Sequence[RecordedEvent]:
            if kept.undoes is None:
                raise _nothing_to("undo", kept)
            return without(kept.events, kept.undoes, kept.version + 1)

        return self._change(number, undone, seen_version)

    def redo(self, number: int, seen_version: int | None = None) -> StoredPattern:
        """Do again what was undone last, if nothing was done since."""

        def redone(kept: StoredPattern) -> Sequence[RecordedEvent]:
            if kept.redoes is None:
                raise _nothing_to("do again", kept)
            return with_again(kept.events, kept.redoes)

        return self._change(number, redone, seen_version)

    def _do(self, number: int, event: Event, seen_version: int | None) -> StoredPattern:
        def done(kept: StoredPattern) -> Sequence[RecordedEvent]:
            if kept.removed:
                raise CatalogueError(
                    f"{kept.name} is removed",
                    f"calicount pattern undo {quoted_if_spaced(kept.name)} brings it back",
                )
            return (*kept.events, RecordedEvent(event, made=kept.version + 1, at=now()))

        return self._change(number, done, seen_version)

    def _change(self, number: int, change: _Change, seen_version: int | None) -> StoredPattern:
        with explained(self._catalogue.path), transaction(self._sql):
            kept = pattern_rows.stored_pattern(self._sql, number)
            if seen_version is not None and kept.version != seen_version:
                raise StaleError(
                    f"{kept.name} has been changed elsewhere meanwhile",
                    "look at it as it is now, and do it again",
                )
            events = change(kept)
            state = pattern_after(events)
            if state == PatternState(kept.name, kept.text, kept.removed):
                return kept
            if not state.removed:
                self._refuse_taken(state.name, number)
            pattern_rows.put_events(self._sql, number, events, kept.version + 1)
            return pattern_rows.stored_pattern(self._sql, number)

    def _refuse_taken(self, name: str, number: int | None = None) -> None:
        known = pattern_rows.number_of(self._sql, name)
        if known not in {None, number}:
            raise CatalogueError(f"there is a pattern {name} already", "choose another name")


def _nothing_to(what: str, kept: StoredPattern) -> CatalogueError:
    return CatalogueError(
        f"there is nothing to {what} in the pattern {kept.name}",
        f"calicount pattern history {quoted_if_spaced(kept.name)} lists what was done",
    )
