"""What devices on the table are told without asking, for as long as they are let in."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import aclosing
from typing import Final

from starlette.requests import Request
from starlette.responses import Response

from cli.page.guard import cookie_of
from cli.page.live.server_sent import ServerSentEvents, stream_of
from cli.page.table.devices import Devices

HEARD: Final = tuple(f"event: {name}\n".encode() for name in ("hello", "bundles", "plan", "end"))
"""Topics that devices hear of; the others are the first door's."""
OVER: Final = b"event: over\ndata: {}\n\n"
"""Said to a device that is let in no longer."""


class TableEvents:
    """The line to each device.

    Parameters
    ----------
    events : ServerSentEvents
        Of the first door.
    devices : Devices
    cookie_name : str
    """

    def __init__(self, events: ServerSentEvents, devices: Devices, cookie_name: str) -> None:
        self.events, self.devices, self.cookie_name = events, devices, cookie_name

    async def answer(self, request: Request) -> Response:
        """Answer with all that is told from now on, until the device is let in no longer."""
        return stream_of(self._told(cookie_of(request.headers, self.cookie_name)))

    async def _told(self, cookie: str | None) -> AsyncIterator[bytes]:
        async with aclosing(self.events.heard_from_now()) as heard:
            async for told in heard:
                if self.devices.known(cookie) is None:
                    yield OVER
                    return
                if told.startswith((*HEARD, b":")):
                    yield told
