"""What the page's server is asked and what it answers; every error a sentence."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final, NoReturn

from anyio import CapacityLimiter, to_thread
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect, Request
from starlette.responses import Response

from catalog.errors import CalicountError, StaleError, UsageError
from catalog.phrases import in_one_line

MAX_JSON_BYTES: Final = 1_000_000
"""Bytes of a request's JSON: events about ten thousand squares take a tenth."""
MAX_JSON_DEPTH: Final = 12
"""Brackets inside brackets; what the page sends has six."""
MAX_LEFT_BYTES: Final = 2_000_000
"""Bytes of a refused body that are read and let go: as many as a piece of a photo has."""
AT_ONCE: Final = {"slow": 3, "quick": 4}
"""Requests worked on at once; more wait. What only reads a row never waits for what measures."""


class NotThereError(CalicountError):
    """What an address names isn't there."""


class TooLargeError(CalicountError):
    """More was sent than is taken."""


@dataclass(frozen=True)
class PageRequest:
    """One request."""

    path: Mapping[str, Any]
    """Parts of the address."""
    query: Mapping[str, str]
    body: Mapping[str, Any] = field(default_factory=dict)
    """The JSON object that was sent; empty for none."""
    known: str = ""
    """What the browser says that it has already (If-None-Match)."""

    @property
    def since(self) -> str:
        """Digest of the view that the page has already; empty for none."""
        return self.query.get("since", "")

    def number(self, name: str) -> int:
        """Return a number of the address.

        Raises
        ------
        NotThereError
            It is larger than any that the catalogue gives.
        """
        number = int(self.path[name])
        if number >= 2**63:
            raise NotThereError("there is nothing at this address", "go back to the page")
        return number


Handler = Callable[[PageRequest], Response]


def told(value: object, status: int = 200) -> Response:
    """Answer with JSON."""
    text = json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return told_text(text, status)


def told_text(text: str, status: int = 200) -> Response:
    """Answer with JSON that is written already."""
    # A half of a sign, which UTF-8 can't hold, becomes what JSON escapes it as.
    content = text.encode("utf-8", "backslashreplace")
    return Response(content, status, media_type="application/json")


def refusal(status: int, problem: str, cure: str, **more: object) -> Response:
    """Answer that it can't be, and what to do."""
    return told({"problem": problem, "cure": cure, **more}, status)


def refused(error: CalicountError) -> Response:
    """Answer with an error's sentence."""
    status = {NotThereError: 404, TooLargeError: 413, StaleError: 409}.get(type(error), 400)
    return refusal(status, error.problem, error.cure)


def fault(error: BaseException) -> Response:
    """Answer for a mistake of our own: what kind it is, and nothing of where."""
    kind = in_one_line(error)[:200].rstrip(":.")
    return refusal(500, f"a fault of calicount itself ({kind})", "please report it")


async def no_such_address(_: Request, error: Exception) -> Response:
    """Answer that nothing is there; a ValueError is a number of thousands of digits."""
    status = error.status_code if isinstance(error, HTTPException) else 404
    return refusal(status, "there is nothing at this address", "go back to the page")


def answering(handler: Handler, *, quick: bool = False) -> Callable[[Request], Any]:
    """Make an endpoint of a function that answers, which runs beside the event loop."""

    async def endpoint(request: Request) -> Response:
        limiter = limiter_of(request, "quick" if quick else "slow")
        try:
            body = await json_body(request) if request.method not in {"GET", "HEAD"} else {}
            known = request.headers.get("if-none-match", "")
            asked = PageRequest(request.path_params, request.query_params, body, known)
            return await to_thread.run_sync(guarded, handler, asked, limiter=limiter)
        except CalicountError as error:
            return refused(error)
        except ClientDisconnect:
            return Response(status_code=400)

    return endpoint


def limiter_of(request: Request, pace: str) -> CapacityLimiter:
    """Return the limit that all requests of one pace share, made on the server's own loop."""
    state = request.app.state
    if not hasattr(state, pace):
        setattr(state, pace, CapacityLimiter(AT_ONCE[pace]))
    shared: CapacityLimiter = getattr(state, pace)
    return shared


def guarded(handler: Handler, asked: PageRequest) -> Response:
    """Answer, with a sentence where something goes wrong."""
    try:
        return handler(asked)
    except CalicountError as error:
        return refused(error)
    except MemoryError:
        return refusal(500, "the computer's memory is full", "close other programs and try again")
    except Exception as error:
        return fault(error)


async def answered_early(request: Request, answer: Response) -> Response:
    """Return an answer that is given before all was read.

    What is left of a body is read, if it isn't much: who is cut off while sending hears no answer.
    With more the connection ends.
    """
    declared = request.headers.get("content-length", "")
    little = not declared.isdecimal() or int(declared) <= MAX_LEFT_BYTES
    if not (little and await _rest_is_read(request)):
        answer.headers["Connection"] = "close"
    return answer


async def _rest_is_read(request: Request) -> bool:
    read = 0
    try:
        async for chunk in request.stream():
            read += len(chunk)
            if read > MAX_LEFT_BYTES:
                return False
    except (ClientDisconnect, RuntimeError):  # it was read, or nobody is there
        return False
    return True


async def json_body(request: Request) -> Mapping[str, Any]:
    """Read a JSON object, no more of it than `MAX_JSON_BYTES`."""
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if kind != "application/json":
        raise UsageError("what was sent does not say that it is JSON", "load the page again")
    declared = request.headers.get("content-length", "")
    if declared.isdecimal() and int(declared) > MAX_JSON_BYTES:
        raise _too_much()
    content = bytearray()
    async for chunk in request.stream():
        content += chunk
        if len(content) > MAX_JSON_BYTES:
            raise _too_much()
    return object_of(bytes(content)) if content.strip() else {}


def object_of(content: bytes) -> Mapping[str, Any]:
    """Return the object that JSON tells; refuse what is none, and what is nested too deep."""
    try:
        value = json.loads(content, parse_constant=_no_number)
    except (ValueError, RecursionError):
        raise UsageError("what was sent is no JSON", "load the page again") from None
    if not isinstance(value, dict) or _depth(value, MAX_JSON_DEPTH) > MAX_JSON_DEPTH:
        raise UsageError("what was sent is no plain JSON object", "load the page again")
    return value


def _no_number(name: str) -> NoReturn:
    raise ValueError(name)


def _depth(value: object, most: int) -> int:
    if most < 0 or not isinstance(value, dict | list):
        return 1
    inside = value.values() if isinstance(value, dict) else value
    return 1 + max((_depth(one, most - 1) for one in inside), default=0)


def _too_much() -> TooLargeError:
    return TooLargeError("more was sent than a change can be (1 MB)", "send fewer at a time")
