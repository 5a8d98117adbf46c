"""Who gets in: this machine's own browser, opened with the address that was printed.

The server listens on the loopback address only. That alone keeps nobody's web page out, since any
page that a browser shows may send requests to this machine, and a name that it owns may be made to
mean 127.0.0.1 (DNS rebinding). So `Host` must be ours, what comes from another origin is refused,
what changes anything must say that it comes from our own page, and everything needs a cookie that
only the opening address gives.
"""

from __future__ import annotations

import secrets
from abc import ABC, abstractmethod
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from typing import Final
from urllib.parse import parse_qs

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import cookie_parser
from starlette.responses import RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from cli.page.answers.refusal_page import in_words, is_navigation
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
        known = [one for one in self.once if is_same(given, one)]
        for one in known:
            self.once.remove(one)
        return bool(known) or is_same(given, self.opening)


class DoorGuard(ABC):
    """Let in what is ours and refuse the rest before anything else sees it: what all doors share.

    Parameters
    ----------
    app : ASGI application
    hosts : collection of str
        The only values of ``Host`` that are answered, in lower case.
    cookie_name : str
        Of the cookie that tells who was let in.
    """

    cure = _OPEN_AGAIN
    """What to do where the door stays shut."""
    not_known = "this page is not open in this browser"
    headers = HEADERS

    def __init__(self, app: ASGIApp, hosts: Collection[str], cookie_name: str) -> None:
        self.app, self.hosts, self.cookie_name = app, frozenset(hosts), cookie_name
        self.origins = frozenset(f"http://{host}" for host in hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or answer it with a refusal."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
        elif scope["type"] == "http":
            answer = self._answer(scope)
            sending = _with_headers(send, self.headers)
            # Raw JSON is nothing to look at.
            sending = in_words(sending) if is_navigation(scope) else sending
            await (answer or self.app)(scope, receive, sending)

    def _answer(self, scope: Scope) -> Response | None:
        """Return a refusal or the exchange of keys; None to let the request through."""
        headers = Headers(scope=scope)
        if headers.get("host", "").lower() not in self.hosts:
            return refusal(403, "this page is asked for by another name", self.cure)
        if scope["method"] in CHANGING:
            if not self._own(headers):
                return refusal(403, "another page asked for this", "use the page itself")
        elif (exchanged := self._exchanged(scope)) is not None:
            return exchanged
        elif not self._asked_by_us(headers):
            return refusal(403, "another page asked for this", self.cure)
        if not self._for_anyone(scope) and not self._known(cookie_of(headers, self.cookie_name)):
            return refusal(403, self.not_known, self.cure)
        return None

    def _exchanged(self, scope: Scope) -> Response | None:
        """Return the answer to a request that brings a key; None for others."""
        return None

    def _for_anyone(self, scope: Scope) -> bool:
        """Whether an address is answered before anybody was let in."""
        return False

    @abstractmethod
    def _known(self, cookie: str | None) -> bool:
        """Whether a cookie is that of somebody who was let in."""

    def _own(self, headers: Headers) -> bool:
        """Whether a change comes from our own page, as the browser itself says."""
        said = headers.get("origin") or headers.get("sec-fetch-site")
        typed = headers.get("sec-fetch-site") == "none"
        return bool(said) and not typed and self._asked_by_us(headers)

    def _asked_by_us(self, headers: Headers) -> bool:
        """Whether nothing says that another page asks; what is typed in is asked by nobody."""
        origin, site = headers.get("origin"), headers.get("sec-fetch-site", "none")
        ours = origin is None or origin.lower() in self.origins
        return ours and site in {"same-origin", "none"}


class Guard(DoorGuard):
    """The first door: for the browser of this machine that has the opening address.

    Parameters
    ----------
    app : ASGI application
    keys : Keys
    port : int
        That the server listens on.
    """

    def __init__(self, app: ASGIApp, keys: Keys, port: int) -> None:
        super().__init__(app, [f"{name}:{port}" for name in NAMES], f"calicount-{port}")
        self.keys = keys

    def _exchanged(self, scope: Scope) -> Response | None:
        if scope["path"] != "/" or b"key=" not in scope["query_string"]:
            return None
        key = parse_qs(scope["query_string"].decode("ascii", "replace")).get("key", [""])[0]
        if not self.keys.opens(key):
            return refusal(403, "this address is out of date", self.cure)
        return with_cookie(RedirectResponse("/", 303), self.cookie_name, self.keys.cookie)

    def _known(self, cookie: str | None) -> bool:
        return cookie is not None and is_same(cookie, self.keys.cookie)


def cookie_of(headers: Headers, name: str) -> str | None:
    """Return a cookie of a request; None for none.

    Not with http.cookies, which drops ours behind one of another program of this machine that it
    can't read.
    """
    return cookie_parser(headers.get("cookie", "")).get(name)


def with_cookie(answer: Response, name: str, value: str) -> Response:
    """Give a browser a cookie that no script reads and that no other site's requests carry."""
    answer.set_cookie(name, value, path="/", httponly=True, samesite="strict")
    return answer


def is_same(given: str, known: str) -> bool:
    """Compare in a time that tells nothing of how much was right."""
    return secrets.compare_digest(given.encode("utf-8", "replace"), known.encode())


def _with_headers(send: Send, own: Mapping[str, str]) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in own.items():
                headers.setdefault(name, value)
        await send(message)

    return sending
