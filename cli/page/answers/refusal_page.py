"""A refusal in words, for who asked for it by the address line or a link."""

from __future__ import annotations

from html import escape

from starlette.datastructures import Headers
from starlette.types import Message, Scope, Send

from cli.page.routes.http_answers import object_of

PAGE = """<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>calicount</title>
<h1>calicount</h1>
<p>{problem}.</p>
<p>{cure}.</p>
</html>
"""


def is_navigation(scope: Scope) -> bool:
    """Tell whether a person is to see the answer as a page of its own, by what the browser says."""
    headers = Headers(scope=scope)
    mode = headers.get("sec-fetch-mode")
    asked_for = headers.get("accept", "").lower().startswith("text/html")
    return scope["method"] == "GET" and (mode == "navigate" or (mode is None and asked_for))


def in_words(send: Send) -> Send:
    """Turn refusals that would be shown as JSON into pages; all else goes through."""
    held: list[Message] = []

    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start" and _is_refusal(message):
            held.append(message)
        elif not held:
            await send(message)
        else:
            held.append(message)
            if not message.get("more_body"):
                await _page(held, send)
                held.clear()

    return sending


def _is_refusal(start: Message) -> bool:
    kind = Headers(raw=start["headers"]).get("content-type", "")
    return bool(start["status"] >= 400 and kind.startswith("application/json"))


async def _page(held: list[Message], send: Send) -> None:
    start, *bodies = held
    told = object_of(b"".join(one.get("body", b"") for one in bodies))
    problem, cure = (_sentence(str(told.get(name, ""))) for name in ("problem", "cure"))
    content = PAGE.format(problem=problem, cure=cure).encode("utf-8", "replace")
    own = {b"content-type", b"content-length"}
    headers = [(name, value) for name, value in start["headers"] if name.lower() not in own]
    headers += [
        (b"content-type", b"text/html; charset=utf-8"),
        (b"content-length", str(len(content)).encode()),
    ]
    await send({**start, "headers": headers})
    await send({"type": "http.response.body", "body": content})


def _sentence(text: str) -> str:
    return escape(text[:1].upper() + text[1:])
