"""The server's run: a free port on this machine alone, the browser, and a clean end."""

from __future__ import annotations

import contextlib
import signal
import socket
import threading
from collections.abc import Callable, Iterator
from functools import partial
from typing import TYPE_CHECKING, Final

from catalog.errors import UsageError
from catalog.system.early_imports import import_early
from cli import interrupts
from cli.page.app import make_app
from cli.page.guard import ADDRESS, Keys
from cli.page.photo_jobs import Jobs
from cli.page.server_state import ServerState

if TYPE_CHECKING:
    from pathlib import Path

    import uvicorn

WARM: Final = (
    "sklearn.cluster",
    "scipy.cluster.hierarchy",
    "rustworkx",
    "catalog.analysis",
    "cli.page.plan_view",
    "catalog.report.pages.set_cards",
)
"""Slow imports that are made while the page is opened."""
_ALONE_OR_AGAIN: Final[int] = getattr(socket, "SO_EXCLUSIVEADDRUSE", socket.SO_REUSEADDR)
"""Elsewhere than on Windows a port may be had again at once; there another program could take it
from under us (Python's documentation of socket; Microsoft, "Using SO_REUSEADDR and
SO_EXCLUSIVEADDRUSE")."""
WAITING: Final = 3
"""Seconds that ending waits for answers under way."""


def listening(port: int) -> socket.socket:
    """Return a socket that listens on the loopback address; port 0 is a free one.

    Raises
    ------
    UsageError
        The port is taken or may not be had.
    """
    if not 0 <= port <= 65535:
        raise UsageError(f"there is no port {port}", "give --port from 1024 to 65535")
    one = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        one.setsockopt(socket.SOL_SOCKET, _ALONE_OR_AGAIN, 1)
        one.bind((ADDRESS, port))
        one.listen(64)
    except OSError as error:
        one.close()
        raise UsageError(
            f"port {port} can't be had ({error.strerror or error})",
            "leave --port out, or name another",
        ) from error
    return one


def serve(
    path: Path | None,
    port: int,
    prepare: Callable[[ServerState, Jobs], None],
    opened: Callable[[str, str], None],
) -> None:
    """Serve the page until it is interrupted.

    Parameters
    ----------
    path : Path, optional
        Of the catalogue.
    port : int
        0 for a free one.
    prepare : callable
        Called with the catalogue and the photos that wait, before the server answers.
    opened : callable
        Told two addresses that open the page, once the server answers: one to print, and one that
        serves a single time, to start the browser with.
    """
    with listening(port) as one:
        number, state, keys = one.getsockname()[1], ServerState(path), Keys()
        jobs = Jobs(state)
        try:
            prepare(state, jobs)
            server = server_of(state, jobs, keys, number)
            import_early(*WARM)
            page = f"http://{ADDRESS}:{number}/?key="
            start = partial(opened, page + keys.opening, page + keys.once[0])
            ended = contextlib.suppress(KeyboardInterrupt)
            with _told(server, start), ended, _told_to_end_is_interrupted():
                server.run([one])
            interrupts.answered()
        finally:
            jobs.close()
            state.close()


def server_of(state: ServerState, jobs: Jobs, keys: Keys, port: int) -> uvicorn.Server:
    """Return the server, which says nothing and takes no longer than `WAITING` to end."""
    import uvicorn

    app = make_app(state, jobs, keys, port)
    return uvicorn.Server(
        uvicorn.Config(
            app,
            loop="asyncio",
            http="h11",
            ws="none",
            lifespan="off",
            log_config=None,
            log_level=60,
            access_log=False,
            proxy_headers=False,
            server_header=False,
            timeout_graceful_shutdown=WAITING,
        )
    )


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
