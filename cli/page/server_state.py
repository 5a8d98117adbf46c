"""What the page's server holds while it runs: the open catalogue and what was worked out last."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from queue import Empty, LifoQueue
from threading import Event
from typing import TYPE_CHECKING, Any, Final

from catalog.errors import CatalogueError, StaleError, UsageError
from cli.page.live.catalogue_watch import CatalogueWatch
from cli.page.live.server_sent import ServerSentEvents
from cli.page.memory import Memory
from cli.page.routes.http_answers import NotThereError
from cli.page.view_changes import ToldViews

if TYPE_CHECKING:
    from fractions import Fraction

    from catalog.catalogue.bundle_catalogue import Catalogue
    from catalog.catalogue.records import StoredBundle, StoredPhoto
    from catalog.system.progress import Progress

MAX_ANSWERS: Final = 64
"""Answers kept; of bundles and sets, each at one version."""
MAX_FITS: Final = 4096
"""Bundles counted for patterns, each some kilobytes: fifty bundles by eighty patterns."""
MAX_DECODED_PHOTOS: Final = 2
"""Decoded photos kept; one of 12 megapixels takes 36 MB."""
MAX_PICTURES: Final = 12
"""JPEGs of photos kept, some 5 MB each at 12 megapixels; browsers keep them too."""


def stamp(kept: StoredBundle) -> tuple[int, int]:
    """Return what tells one state of a bundle from any other; no number is given twice."""
    return kept.id, kept.version


def counted_stamp(kept: StoredBundle) -> tuple[Hashable, ...]:
    """Return what tells apart states of a bundle that are counted otherwise.

    Two that differ only in what was said of the wall have the same.
    """
    from catalog.catalogue.events.wall_events import WallEvent

    said = tuple(
        (one.number, bool(one.undone))
        for one in kept.events
        if not isinstance(one.event, WallEvent)
    )
    photos = tuple((one.id, kept.measured_from.get(one.id, "")) for one in kept.photos)
    return kept.id, said, photos, tuple(kept.by_label)


@dataclass(frozen=True)
class ShownPlan:
    """Which plan of a bundle the page shows."""

    query: Mapping[str, Any]
    """What the page asked for."""
    mark: str
    """Tells one plan asked for from another, also where a pattern of that name was changed."""


class ServerState:
    """The catalogue that the page shows.

    Parameters
    ----------
    path : Path, optional
        Of the catalogue; the usual one if None.
    """

    def __init__(self, path: Path | None) -> None:
        self.path = path
        self.opened_with: int | None = None
        """Number of the bundle that the command asked to open."""
        self.first_told = Event()
        """Set once a page was told what it shows first."""
        self.shown_plans: dict[int, ShownPlan] = {}
        """By bundle what its plan was asked for last on the page."""
        self.shown_last: int | None = None
        """Number of the bundle that the page showed last."""
        self.answers = Memory(MAX_ANSWERS)
        self.fits = Memory(MAX_FITS)
        self.photos = Memory(MAX_DECODED_PHOTOS)
        self.pictures = Memory(MAX_PICTURES)
        self.told = ToldViews()
        self._stops: dict[int, int] = {}
        """By bundle how often long work on it was stopped by hand."""
        self._idle: LifoQueue[Catalogue] = LifoQueue()
        self.events = ServerSentEvents()
        self.watch = CatalogueWatch(path, self.events)

    def show_plan(self, number: int, shown: ShownPlan) -> None:
        """Remember which plan of a bundle the page shows, for who sews by it."""
        if self.shown_plans.get(number) != shown:
            self.shown_plans[number] = shown
            self.events.tell("plan", {"bundle": number, "mark": shown.mark})

    @contextmanager
    def catalogue(self) -> Iterator[Catalogue]:
        """Lend an open catalogue to one thread."""
        from catalog.catalogue.bundle_catalogue import Catalogue

        try:
            lent = self._idle.get_nowait()
        except Empty:
            lent = Catalogue(self.path)
        try:
            yield lent
        finally:
            self._idle.put(lent)

    def close(self) -> None:
        """Close what is open."""
        self.watch.close()
        while not self._idle.empty():
            self._idle.get_nowait().close()

    def kept(self, number: int) -> StoredBundle:
        """Return the bundle of a number as it stands.

        Raises
        ------
        NotThereError
            There is none.
        """
        with self.catalogue() as catalogue:
            _, version = self._head(catalogue, number)
            key = ("kept", number, version)
            return self.answers.of(key, lambda: catalogue.numbered(number))

    def version(self, number: int) -> int:
        """Return the version of the bundle of a number.

        Raises
        ------
        NotThereError
            There is none.
        """
        with self.catalogue() as catalogue:
            return self._head(catalogue, number)[1]

    def unless_overtaken(self, kept: StoredBundle) -> Progress:
        """Return what ends long work on a bundle between its steps, once that has been changed."""

        def look(_: str) -> None:
            with self.catalogue() as catalogue:
                _, version = self._head(catalogue, kept.id)
            if version != kept.version:
                raise StaleError(
                    f"{kept.name} has been changed meanwhile", "ask again for it as it is now"
                )

        return look

    @contextmanager
    def working(self, kept: StoredBundle) -> Iterator[Progress]:
        """Let tabs hear what is being done with a bundle; it ends where it is overtaken or stopped.

        Raises
        ------
        StaleError
            Between two steps, once the bundle has been changed.
        UsageError
            Likewise, once somebody stopped it.
        """
        overtaken, stops = self.unless_overtaken(kept), self._stops.get(kept.id, 0)

        def tell(words: str) -> None:
            overtaken(words)
            if self._stops.get(kept.id, 0) != stops:
                raise UsageError("that was stopped", "ask for it again when you want it")
            said(words)

        def said(words: str) -> None:
            about = str(kept.id)
            self.events.tell("work", {"bundle": kept.id, "words": words}, about)

        try:
            yield tell
        finally:
            self.events.forget("work", str(kept.id))

    def stop_work(self, number: int) -> None:
        """End long work on a bundle at its next step."""
        self._stops[number] = self._stops.get(number, 0) + 1

    def change(self, number: int, change: Callable[[Catalogue, str], StoredBundle]) -> StoredBundle:
        """Change the bundle of a number, and remember how it stands then."""
        with self.catalogue() as catalogue:
            name, _ = self._head(catalogue, number)
            kept = change(catalogue, name)
        self.watch.look()
        self.answers.put(("kept", *stamp(kept)), kept)
        return kept

    def fresh_name(self, name: str) -> str:
        """Return the name of a bundle that is to be, as it is kept.

        Raises
        ------
        CatalogueError
            It can't be kept, or there is one of that name.
        """
        from catalog.catalogue.store.bundle_list import fit_name

        fit = fit_name(name)
        if self.side_of(fit) is not None:
            raise CatalogueError(f"there is a bundle {fit} already", "choose another name")
        return fit

    def side_of(self, name: str) -> Fraction | None:
        """Return what the squares of a bundle measure, inches; None where there is none."""
        with self.catalogue() as catalogue:
            lines = catalogue.lines()
        folded = name.casefold()
        return next((one.side for one in lines if one.name.casefold() == folded), None)

    @property
    def catalogue_path(self) -> Path:
        """Where the catalogue lies."""
        from catalog.catalogue.store.catalogue_file import default_file

        return self.path or default_file()

    def bundle_with_photo(self, name: str, digest: str) -> int | None:
        """Return the number of the bundle of a name if it has the photo of a digest."""
        from catalog.catalogue.store.photo_rows import bundle_with

        with self.catalogue() as catalogue:
            return catalogue.read(lambda sql: bundle_with(sql, name, digest))

    def bundle_for(self, name: str, side: str | None) -> tuple[str, Fraction]:
        """Return the name and the squares' side, inches, of a bundle that photos are for.

        Raises
        ------
        CalicountError
            The bundle's squares have another size, or nothing can be called or measure so.
        """
        from catalog.catalogue.store.bundle_list import fit_name
        from catalog.lengths import show_length
        from cli.counting.typed_count import side_of

        fit = fit_name(name)
        known = self.side_of(fit)
        asked = side_of(side) if side else known or side_of("5")
        if known is not None and asked != known:
            raise UsageError(
                f"the squares of {fit} measure {show_length(known)}",
                "give these photos a bundle of their own",
            )
        return fit, asked

    def photo(self, number: int) -> StoredPhoto:
        """Return the photo of a number.

        Raises
        ------
        NotThereError
            There is none.
        """
        with self.catalogue() as catalogue:
            found = catalogue.photo(number)
        if found is None:
            raise NotThereError("there is no such photo", "load the page again")
        return found

    @staticmethod
    def _head(catalogue: Catalogue, number: int) -> tuple[str, int]:
        try:
            return catalogue.head(number)
        except CatalogueError as error:
            raise NotThereError(error.problem, "go back to the list of bundles") from error
