"""Events that the server sends to every open tab (HTML Living Standard, 9.2 Server-sent events).

Of each topic only the latest is kept and sent, so a tab that is slow or comes late misses nothing
that still holds, and none makes the server hold more than that.
"""

from __future__ import annotations

import asyncio
import json
import secrets
from collections.abc import AsyncGenerator, AsyncIterator, Callable
from threading import Lock
from typing import Final

from starlette.requests import Request
from starlette.responses import Response, StreamingResponse

from cli.page.routes.http_answers import refusal

BEAT: Final = 15.0
"""Seconds after which a quiet line is written to, so that one that broke is noticed (the standard
advises a comment every 15 seconds or so)."""
MAX_TABS: Final = 64
"""Tabs that listen at once; the tabs of a browser share one line where they can."""
HEADERS: Final = {"Cache-Control": "no-store", "X-Accel-Buffering": "no"}


class _Tab:
    """One that listens, and the topics of which it was not told the latest."""

    def __init__(self, due: list[str]) -> None:
        self.due = dict.fromkeys(due)
        self._loop, self._woken = asyncio.get_running_loop(), asyncio.Event()

    def wake(self) -> None:
        """Let it send what is due; from any thread."""
        self._loop.call_soon_threadsafe(self._woken.set)

    async def rest(self) -> bool:
        """Wait until it is woken, at most a `BEAT`; tell whether it was."""
        try:
            await asyncio.wait_for(self._woken.wait(), BEAT)
        except TimeoutError:
            return False
        self._woken.clear()
        return True


class ServerSentEvents:
    """What is told to all tabs, from any thread."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._latest: dict[str, bytes] = {}
        self._tabs: set[_Tab] = set()
        self._ended = False
        self.joined: Callable[[], None] = lambda: None
        """Called when one more tab listens."""
        self.tell("hello", {"run": secrets.token_hex(8)})

    @property
    def heard(self) -> bool:
        """Whether anybody listens."""
        return bool(self._tabs)

    def tell(self, name: str, value: object, about: str = "") -> None:
        """Tell every tab the latest of a topic, once.

        Parameters
        ----------
        name : str
            Of the event.
        value : object
            That JSON can hold.
        about : str
            Tells topics of one name apart.
        """
        text = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
        sent = f"event: {name}\ndata: {text}\n\n".encode("utf-8", "backslashreplace")
        topic = f"{name} {about}"
        with self._lock:
            if self._latest.get(topic) == sent:
                return
            self._latest[topic] = sent
            for tab in self._tabs:
                tab.due[topic] = None
                tab.wake()

    def forget(self, name: str, about: str = "") -> None:
        """Let go of a topic of which nobody needs to hear any more."""
        with self._lock:
            self._latest.pop(f"{name} {about}", None)

    def end(self) -> None:
        """Tell every tab that the server ends, and let go of it."""
        self.tell("end", {})
        with self._lock:
            self._ended = True
            for tab in self._tabs:
                tab.wake()

    async def answer(self, _: Request) -> Response:
        """Answer with all that is told from now on."""
        if len(self._tabs) >= MAX_TABS:
            return refusal(503, "too many tabs show this page", "close some of them")
        return stream_of(self.heard_from_now())

    async def heard_from_now(self) -> AsyncGenerator[bytes]:
        """Yield what is told from now on, in the format of the standard."""
        with self._lock:
            tab = _Tab(list(self._latest))
            self._tabs.add(tab)
        self.joined()
        try:
            yield b": the line is open\n\n"
            while True:
                for told in self._due(tab):
                    yield told
                if self._ended:
                    return
                if not await tab.rest():
                    yield b": nothing new\n\n"
        finally:
            with self._lock:
                self._tabs.discard(tab)

    def _due(self, tab: _Tab) -> list[bytes]:
        with self._lock:
            due = [self._latest[topic] for topic in tab.due if topic in self._latest]
            tab.due.clear()
        return due


def stream_of(told: AsyncIterator[bytes]) -> Response:
    """Return an answer that goes on for as long as something may be told."""
    return StreamingResponse(told, media_type="text/event-stream", headers=HEADERS)
