"""The catalogue watched for changes, by whichever program made them."""

from __future__ import annotations

import contextlib
from pathlib import Path
from threading import Event, Thread
from typing import TYPE_CHECKING, Final

from catalog.errors import CalicountError
from cli.page.live.server_sent import ServerSentEvents

if TYPE_CHECKING:
    from catalog.catalogue.bundle_catalogue import Catalogue

PAUSE: Final = 1.0
"""Seconds between two looks at a file that another command may have written to; the look is one
number (SQLite's documentation, PRAGMA data_version). What the page's own server changes is looked
at once."""


class CatalogueWatch:
    """Tells tabs which bundles and patterns there are and at what versions, whenever that changes.

    Parameters
    ----------
    path : Path, optional
        Of the catalogue.
    events : ServerSentEvents
        By which tabs are told.
    """

    def __init__(self, path: Path | None, events: ServerSentEvents) -> None:
        self._path, self._events = path, events
        self._woken, self._ending = Event(), False
        self._seen: int | None = None
        events.joined = self.look
        self._thread = Thread(target=self._watch, name="catalogue watch", daemon=True)
        self._thread.start()

    def look(self) -> None:
        """Look at once; something was changed."""
        self._woken.set()

    def close(self) -> None:
        """Stop."""
        self._ending = True
        self._woken.set()
        self._thread.join()

    def _watch(self) -> None:
        from catalog.catalogue.bundle_catalogue import Catalogue

        self._woken.wait()  # nothing is opened before anybody listens
        with contextlib.suppress(CalicountError), Catalogue(self._path) as catalogue:
            while not self._ending:
                self._woken.clear()
                if self._events.heard:
                    with contextlib.suppress(CalicountError):
                        self._tell(catalogue)
                self._woken.wait(PAUSE if self._events.heard else None)

    def _tell(self, catalogue: Catalogue) -> None:
        now = catalogue.changes()
        if now != self._seen:
            from catalog.catalogue.patterns import pattern_rows

            self._events.tell("bundles", catalogue.versions())
            self._events.tell("patterns", catalogue.read(pattern_rows.versions))
            self._seen = now
