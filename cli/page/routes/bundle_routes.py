"""Bundles on the page: the list, one as it stands, new names, and what is done to one."""

from __future__ import annotations

from importlib.metadata import PackageNotFoundError, version
from typing import Annotated, Any, Final

from msgspec import Meta
from starlette.responses import Response

from catalog.catalogue.events.event_fields import PhotoNumber, RowNumber, Text, sayable
from catalog.catalogue.records import StoredBundle
from catalog.errors import CatalogueError, StaleError, UsageError
from cli.page.event_input import events_of, limits, photo_in, version_of
from cli.page.input_checks import Args, EventNumber, read
from cli.page.live.sent_again import was_done
from cli.page.photo_jobs import Jobs
from cli.page.routes.http_answers import PageRequest, refusal, told
from cli.page.routes.pattern_routes import lines_of, pattern_line_view
from cli.page.server_state import ServerState

CAUTION: Final = (
    "Colours on a screen are a guide: before you cut, lay the squares of a set side by side in "
    "daylight."
)
"""`common practice`: shops and teachers judge cloth by daylight, since lamps and screens differ."""


class BundleRoutes:
    """The answers about bundles."""

    def __init__(self, state: ServerState, jobs: Jobs) -> None:
        self.state, self.jobs = state, jobs

    def start(self, _: PageRequest) -> Response:
        """Answer with what the page shows first."""
        from catalog.cutting.layouts.precuts import PRECUTS
        from cli.page.bundle_view import line_view

        with self.state.catalogue() as catalogue:
            lines = catalogue.lines()
        first = told(
            {
                "version": _version(),
                "bundles": [line_view(line) for line in lines],
                "patterns": [pattern_line_view(line) for line in lines_of(self.state)],
                "precuts": [precut.plural for precut in PRECUTS],
                "limits": self.state.answers.of("limits", limits),
                "open": self.state.opened_with,
                "jobs": self.jobs.under_way,
                "caution": CAUTION,
            }
        )
        self.state.first_told.set()
        return first

    def check(self, asked: PageRequest) -> Response:
        """Say whether a new bundle may be called so, and its squares measure that."""
        from cli.counting.typed_count import side_of

        side = asked.body.get("side", "5")
        if not isinstance(asked.body.get("name"), str) or not isinstance(side, str | int | float):
            raise UsageError("a new bundle needs a name and a size", "fill in both")
        name = self.state.fresh_name(str(asked.body["name"]))
        return told({"name": name, "side": str(side_of(str(side)))})

    def show(self, asked: PageRequest) -> Response:
        """Answer with a bundle as it stands."""
        kept = self.state.kept(asked.number("bundle"))
        self.state.shown_last = kept.id
        return self._view(kept, asked)

    def do(self, asked: PageRequest) -> Response:
        """Do what the page asks, all of it or nothing."""
        number, seen = asked.number("bundle"), version_of(asked.body)
        kept = self.state.kept(number)
        if kept.version != seen:
            return self._late(asked, kept, seen, "do")
        events = events_of(asked.body, kept)
        return self._changed(asked, lambda all_, name: all_.do(name, events, seen_version=seen))

    def undo(self, asked: PageRequest) -> Response:
        """Take back what was done last, or the event of a number."""
        return self._back(asked, "undo")

    def redo(self, asked: PageRequest) -> Response:
        """Do again what was taken back last, or the event of a number."""
        return self._back(asked, "redo")

    def rename(self, asked: PageRequest) -> Response:
        """Call a bundle something else."""
        other = read(asked.body, "name", sayable(Text))

        def renamed(catalogue: Any, name: str) -> StoredBundle:  # noqa: ANN401 - a Catalogue
            catalogue.rename(name, other)
            kept: StoredBundle = catalogue.bundle(other)
            return kept

        return self._changed(asked, renamed)

    def remove(self, asked: PageRequest) -> Response:
        """Remove a bundle whose name was typed again."""
        kept = self.state.kept(asked.number("bundle"))
        if asked.body.get("name") != kept.name:
            raise UsageError(
                f"the name doesn't match, so {kept.name} is still there",
                "type it as it stands to remove the bundle and its photos for good",
            )
        with self.state.catalogue() as catalogue:
            catalogue.remove(kept.name)
        self.state.watch.look()
        return told({})

    def propose(self, asked: PageRequest) -> Response:
        """Say where a square that was missed must lie: at a point, or in a row and column."""
        kept = self.state.kept(asked.number("bundle"))
        return told(proposed(asked.body, kept))

    def _back(self, asked: PageRequest, way: str) -> Response:
        number, seen = asked.number("bundle"), version_of(asked.body)
        kept = self.state.kept(number)
        if kept.version != seen:
            return self._late(asked, kept, seen, way)
        which = read(asked.body, "number", EventNumber | None)
        return self._changed(
            asked, lambda all_, name: getattr(all_, way)(name, which, seen_version=seen)
        )

    def _changed(self, asked: PageRequest, change: Any) -> Response:  # noqa: ANN401 - as ServerState.change
        number = asked.number("bundle")
        try:
            return self._view(self.state.change(number, change), asked)
        except StaleError:
            return stale(self.state.kept(number))

    def _late(self, asked: PageRequest, kept: StoredBundle, seen: int, way: str) -> Response:
        """Answer to a change that was made on an older version, which it may itself have ended."""
        done = was_done(asked.body, kept, seen, way)
        return self._view(kept, asked) if done else stale(kept)

    def _view(self, kept: StoredBundle, asked: PageRequest) -> Response:
        from cli.page.bundle_view import bundle_view

        return self.state.told.answer(bundle_view(kept), asked.since)


def stale(kept: StoredBundle) -> Response:
    """Refuse what was asked of a bundle that has changed since."""
    return refusal(
        409,
        f"{kept.name} has been changed elsewhere meanwhile",
        "look at it as it is now, and do it again",
        version=kept.version,
    )


def proposed(asked: Args, kept: StoredBundle) -> dict[str, object]:
    """Return where a square that was missed must lie, by the others on its photo."""
    from catalog.catalogue.events import drawn_squares

    seen = photo_in(kept, read(asked, "photo", PhotoNumber))
    others = [square.square for square in kept.state.live_in(seen.id)]
    named = set(kept.by_label)
    cell: tuple[int, int] | None
    if asked.get("x") is not None:
        point = read(asked, "x", _to(seen.wide)), read(asked, "y", _to(seen.high))
        cell = drawn_squares.cell_at(point, others)
        here = drawn_squares.proposed_near(point, others)
    else:
        cell, here = (
            (read(asked, "row", sayable(RowNumber)), read(asked, "col", sayable(RowNumber))),
            None,
        )
        if _label(cell) in named:
            raise CatalogueError(
                f"{_label(cell)} is a square already", "click where the missed square lies"
            )
    if cell in {(one.row, one.col) for one in others}:
        cell = None
    corners = drawn_squares.proposed_at(cell, others) if cell else None
    if _label(cell) in named:  # rows are counted over all photos: no square loses its name
        cell = None
    corners = corners or here
    if corners is None:
        raise CatalogueError(
            "too few squares are known on this photo to tell where another lies",
            "draw it by its four corners",
        )
    shown = drawn_squares.fit_outline(
        drawn_squares.within(corners, seen.wide, seen.high), seen.wide, seen.high
    )
    return {
        "row": cell[0] if cell else None,
        "col": cell[1] if cell else None,
        "label": _label(cell),
        "corners": [[round(x, 2), round(y, 2)] for x, y in shown],
    }


def _to(most: int) -> Any:  # noqa: ANN401 - a type
    return Annotated[float, Meta(ge=0, le=most)]


def _label(cell: tuple[int, int] | None) -> str:
    return f"R{cell[0]}C{cell[1]}" if cell else ""


def _version() -> str:
    try:
        return version("calicount")
    except PackageNotFoundError:
        return ""
