"""Who gets in: this machine's own browser, opened with the address that was printed.

The server listens on the loopback address only. That alone keeps nobody's web page out, since any
page that a browser shows may send requests to this machine, and a name that it owns may be made to
mean 127.0.0.1 (DNS rebinding). So `Host` must be ours, what comes from another origin is refused,
what changes anything must say that it comes from our own page, and everything needs a cookie that
only the opening address gives.
"""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final
from urllib.parse import parse_qs

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import cookie_parser
from starlette.responses import RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from cli.page.routes.http_answers import refusal

ADDRESS: Final = "127.0.0.1"
NAMES: Final = (ADDRESS, "localhost")
CHANGING: Final = frozenset({"POST", "PUT", "PATCH", "DELETE"})
POLICY: Final = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' blob: data:",
        "connect-src 'self'",
        "form-action 'none'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
HEADERS: Final[Mapping[str, str]] = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "X-Frame-Options": "DENY",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=()",
    "Cache-Control": "no-store",
}
"""Of every answer that doesn't set them otherwise (OWASP Secure Headers Project; CSP Level 3)."""
_OPEN_AGAIN: Final = "open it with the address that calicount open printed"


@dataclass(frozen=True)
class Keys:
    """What lets the browser in."""

    opening: str = field(default_factory=lambda: secrets.token_urlsafe(32))
    """In the opening address."""
    once: list[str] = field(default_factory=lambda: [secrets.token_urlsafe(32)])
    """What else opens the page, each one time only: the address that the browser is started with
    can be read by whoever may list this machine's processes."""
    cookie: str = field(default_factory=lambda: secrets.token_urlsafe(32))
    """What they are exchanged for."""

    def opens(self, given: str) -> bool:
        """Whether a token opens the page; one for a single time is used up by it."""
        known = [one for one in self.once if _same(given, one)]
        for one in known:
            self.once.remove(one)
        return bool(known) or _same(given, self.opening)


class Guard:
    """Let in what is ours and refuse the rest before anything else sees it.

    Parameters
    ----------
    app : ASGI application
    keys : Keys
    port : int
        That the server listens on.
    """

    def __init__(self, app: ASGIApp, keys: Keys, port: int) -> None:
        self.app, self.keys = app, keys
        self.hosts = frozenset(f"{name}:{port}" for name in NAMES)
        self.cookie_name = f"calicount-{port}"

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or answer it with a refusal."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
        elif scope["type"] == "http":
            answer = self._answer(scope)
            await (answer or self.app)(scope, receive, _with_headers(send))

    def _answer(self, scope: Scope) -> Response | None:
        """Return a refusal or the exchange of keys; None to let the request through."""
        headers = Headers(scope=scope)
        if headers.get("host", "").lower() not in self.hosts:
            return refusal(403, "this page is asked for by another name", _OPEN_AGAIN)
        if scope["method"] in CHANGING:
            if not self._own(headers):
                return refusal(403, "another page asked for this", "use the page itself")
        elif scope["path"] == "/" and b"key=" in scope["query_string"]:
            return self._opened(scope)
        elif not self._asked_by_us(headers):
            return refusal(403, "another page asked for this", _OPEN_AGAIN)
        if not self._known(headers):
            return refusal(403, "this page is not open in this browser", _OPEN_AGAIN)
        return None

    def _opened(self, scope: Scope) -> Response:
        key = parse_qs(scope["query_string"].decode("ascii", "replace")).get("key", [""])[0]
        if not self.keys.opens(key):
            return refusal(403, "this address is out of date", _OPEN_AGAIN)
        answer = RedirectResponse("/", 303)
        answer.set_cookie(
            self.cookie_name, self.keys.cookie, path="/", httponly=True, samesite="strict"
        )
        return answer

    def _own(self, headers: Headers) -> bool:
        """Whether a change comes from our own page, as the browser itself says."""
        said = headers.get("origin") or headers.get("sec-fetch-site")
        typed = headers.get("sec-fetch-site") == "none"
        return bool(said) and not typed and self._asked_by_us(headers)

    def _asked_by_us(self, headers: Headers) -> bool:
        """Whether nothing says that another page asks; what is typed in is asked by nobody."""
        origin, site = headers.get("origin"), headers.get("sec-fetch-site", "none")
        ours = origin is None or origin.lower() in {f"http://{host}" for host in self.hosts}
        return ours and site in {"same-origin", "none"}

    def _known(self, headers: Headers) -> bool:
        # Not with http.cookies, which drops ours behind one of another program of this machine
        # that it can't read.
        cookie = cookie_parser(headers.get("cookie", "")).get(self.cookie_name)
        return cookie is not None and _same(cookie, self.keys.cookie)


def _same(given: str, known: str) -> bool:
    """Compare in a time that tells nothing of how much was right."""
    return secrets.compare_digest(given.encode("utf-8", "replace"), known.encode())


def _with_headers(send: Send) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
        await send(message)

    return sending
