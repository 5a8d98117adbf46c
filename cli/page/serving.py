"""The server's run: a free port on this machine alone, the browser, and a clean end."""

from __future__ import annotations

import contextlib
import gc
import signal
import threading
from collections.abc import Callable, Iterator
from functools import partial
from typing import TYPE_CHECKING, Final

from catalog.catalogue.store.catalogue_file import default_file
from catalog.system.early_imports import import_early
from cli import interrupts
from cli.page.app import make_app
from cli.page.guard import ADDRESS, Keys
from cli.page.listening import WAITING, quiet_server
from cli.page.live.last_port import listening_again
from cli.page.photo_jobs import Jobs
from cli.page.server_state import ServerState
from cli.page.table.table_door import TableDoor

if TYPE_CHECKING:
    from pathlib import Path

    import uvicorn

WARM: Final = (
    "rustworkx",
    "catalog.analysis",
    "cli.page.plan_view",
    "catalog.report.pages.set_cards",
)
"""Slow imports that are made once the page is open."""
PATIENCE: Final = 5.0
"""Seconds for which they wait for that: they and the first answer would take turns."""
USUAL_GARBAGE: Final = 700
"""Objects made and kept between two searches for garbage: a server runs for long, so that it looks
as often as Python does unasked, and not as seldom as a command (`cli.start`)."""


def serve(
    path: Path | None,
    port: int,
    prepare: Callable[[ServerState, Jobs, TableDoor], None],
    opened: Callable[[str, str], None],
) -> None:
    """Serve the page until it is interrupted.

    Parameters
    ----------
    path : Path, optional
        Of the catalogue.
    port : int
        0 for that of the last time, or a free one.
    prepare : callable
        Called with the catalogue, the photos that wait and the second door, before the server
        answers.
    opened : callable
        Told two addresses that open the page, once the server answers: one to print, and one that
        serves a single time, to start the browser with.
    """
    with listening_again(port, path or default_file()) as one:
        number, state, keys = one.getsockname()[1], ServerState(path), Keys()
        jobs = Jobs(state)
        door = TableDoor(state, jobs)
        try:
            prepare(state, jobs, door)
            server = server_of(state, jobs, keys, number, door)
            import_early(*WARM, after=partial(_first_answer_given, state))
            gc.set_threshold(USUAL_GARBAGE)
            page = f"http://{ADDRESS}:{number}/?key="
            start = partial(opened, page + keys.opening, page + keys.once[0])
            ended = contextlib.suppress(KeyboardInterrupt)
            with _told(server, start), ended, _told_to_end_is_interrupted():
                server.run([one])
            interrupts.answered()
        finally:
            door.close()
            jobs.close()
            state.close()


def server_of(
    state: ServerState, jobs: Jobs, keys: Keys, port: int, door: TableDoor
) -> uvicorn.Server:
    """Return the first door's server."""
    return quiet_server(make_app(state, jobs, keys, port, door), state.events.end)


def _first_answer_given(state: ServerState) -> None:
    """Read what the first answer takes longest with, and wait until a page has that answer."""
    from catalog.catalogue.patterns.stored_pattern import shipped_read

    shipped_read()
    state.first_told.wait(PATIENCE)


@contextlib.contextmanager
def _told_to_end_is_interrupted() -> Iterator[None]:
    """Let a wish that the program end, as at a shutdown, end it as cleanly as Ctrl-C does."""

    def interrupt(*_: object) -> None:
        raise KeyboardInterrupt

    wishes = [getattr(signal, name) for name in ("SIGTERM", "SIGBREAK") if hasattr(signal, name)]
    before = [signal.signal(wish, interrupt) for wish in wishes]
    try:
        yield
    finally:
        for wish, handler in zip(wishes, before, strict=True):
            signal.signal(wish, handler)


@contextlib.contextmanager
def _told(server: uvicorn.Server, opened: Callable[[], None]) -> Iterator[None]:
    """Call back from another thread once the server has started."""
    ended = threading.Event()

    def watch() -> None:
        while not ended.wait(0.02):
            if server.started:
                opened()
                return

    thread = threading.Thread(target=watch, daemon=True)
    thread.start()
    try:
        yield
    finally:
        ended.set()
        thread.join(WAITING)
