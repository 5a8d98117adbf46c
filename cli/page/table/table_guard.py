"""The second door's guard: devices of a private network that were let in by a code."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from starlette.responses import Response
from starlette.types import ASGIApp, Scope

from cli.page.assets.static_files import BELOW_DIGEST
from cli.page.guard import HEADERS, DoorGuard
from cli.page.routes.http_answers import refusal
from cli.page.table.devices import Devices
from cli.page.table.private_addresses import is_near

CODE_WANTED: Final = "this device is not let in"
ENTER: Final = "/api/enter"
_FILES: Final = "/static/"
ENTRANCE: Final = frozenset(
    {
        "/",
        ENTER,
        *(
            f"{_FILES}{name}"
            for name in (
                *("mark.svg", "frame/tokens.css", "frame/components.css", "frame/dom.js"),
                *("table/table.css", "table/main.js", "table/enter.js"),
            )
        ),
    }
)
"""What is shown before a code is known: the page on which one is typed, nothing of any bundle."""
_OVER_PLAIN_HTTP: Final = frozenset({"Cross-Origin-Opener-Policy"})
"""Ignored where a connection isn't encrypted, with a complaint on the browser's console (HTML
Standard, "cross-origin opener policies")."""


class TableGuard(DoorGuard):
    """The second door.

    Parameters
    ----------
    app : ASGI application
    devices : Devices
        Who was let in.
    host : str
        The very address and port that were offered, as ``Host`` has them.
    cookie_name : str
    """

    cure = "open the address that the computer shows"
    not_known = CODE_WANTED
    headers: Mapping[str, str] = {
        name: value for name, value in HEADERS.items() if name not in _OVER_PLAIN_HTTP
    }

    def __init__(self, app: ASGIApp, devices: Devices, host: str, cookie_name: str) -> None:
        super().__init__(app, [host], cookie_name)
        self.devices = devices

    def _answer(self, scope: Scope) -> Response | None:
        if not is_near(address_of(scope)):
            return refusal(403, "this page is for devices on its own network", "join that network")
        return super()._answer(scope)

    def _for_anyone(self, scope: Scope) -> bool:
        if scope["method"] == "POST":
            return bool(scope["path"] == ENTER)
        return scope["method"] in {"GET", "HEAD"} and _as_it_lies(scope["path"]) in ENTRANCE

    def _known(self, cookie: str | None) -> bool:
        return self.devices.known(cookie) is not None


def _as_it_lies(path: str) -> str:
    """Return the path by which a file is told alone.

    Below the digest it has all that it imports, which is of the entrance too
    (`tests/test_table_browser.py`).
    """
    below = BELOW_DIGEST.fullmatch(path.removeprefix(_FILES))
    return _FILES + below["name"] if below else path


def address_of(scope: Scope) -> str:
    """Return the address from which a request comes."""
    client = scope.get("client")
    return str(client[0]) if client else ""
