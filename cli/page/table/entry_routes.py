"""Coming in by the second door, and going."""

from __future__ import annotations

import math
from typing import Annotated, Final

from msgspec import Meta
from starlette.requests import Request
from starlette.responses import Response

from catalog.errors import CalicountError
from cli.page.guard import cookie_of, with_cookie
from cli.page.input_checks import read
from cli.page.routes.http_answers import json_body, refusal, refused, told
from cli.page.table.admission import WARNING, Admission
from cli.page.table.devices import Device
from cli.page.table.invitations import MAX_TYPED
from cli.page.table.table_guard import address_of

Code = Annotated[str, Meta(max_length=MAX_TYPED, description="a code")]
_WRONG: Final = "that code is not right, or it is out of date"
_ANOTHER: Final = "look at the computer's screen, or ask for a new one there"


class EntryRoutes:
    """The answers to codes."""

    def __init__(self, admission: Admission, cookie_name: str) -> None:
        self.admission, self.cookie_name = admission, cookie_name

    async def is_in(self, request: Request) -> Response:
        """Answer whether a device is in, which is no fault if it isn't."""
        cookie = cookie_of(request.headers, self.cookie_name)
        return told({"in": self.admission.devices.known(cookie) is not None})

    async def enter(self, request: Request) -> Response:
        """Let a device in by the code that was typed or by the long one."""
        try:
            body = await json_body(request)
            typed, token = read(body, "code", Code | None), read(body, "token", Code | None)
            given = token if typed is None else typed
            agent = request.headers.get("user-agent", "")
            found = self.admission.enter(
                given or "", address_of(request.scope), agent, typed=typed is not None
            )
        except CalicountError as error:
            return refused(error)
        if isinstance(found, Device):
            answer = told({"kind": found.kind, "warning": WARNING})
            return with_cookie(answer, self.cookie_name, found.cookie)
        wait = math.ceil(found)
        answer = refusal(429, _WRONG, _ANOTHER, wait=wait)
        answer.headers["Retry-After"] = str(wait)
        return answer

    async def leave(self, request: Request) -> Response:
        """Let a device go that wants to."""
        device = self.admission.devices.known(cookie_of(request.headers, self.cookie_name))
        if device is not None:
            self.admission.end_device(device.id)
        answer = told({})
        answer.delete_cookie(self.cookie_name, path="/", httponly=True, samesite="strict")
        return answer
