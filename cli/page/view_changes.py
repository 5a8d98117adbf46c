"""Views told to a page that has an older one: only what changed since.

A page says which view it has by the digest that came with it. What is not known by its digest, as
after the server was started anew, is told whole.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from hashlib import blake2b
from typing import Any, Final

from starlette.responses import Response

from cli.page.memory import Memory
from cli.page.routes.http_answers import told_text

View = Mapping[str, Any]

KEYS: Final[Mapping[str, str]] = {
    "squares": "id", "out": "id", "photos": "id", "history": "number", "families": "name",
    "fabrics": "name", "projects": "name", "sets": "number", "unused": "square",
}  # fmt: skip
"""Lists of a view of which single members are told, and what tells their members apart."""
MAX_TOLD: Final = 32
"""Views whose digests are kept, some 150 kB each at 1,000 squares; who has an older one is told
all."""
DIGEST_BYTES: Final = 8
"""Of a member: two of one key have the same by chance once in 2**64."""

_json: Final = json.JSONEncoder(ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode


@dataclass(frozen=True, eq=False)
class _Texts:
    """A view as JSON, part by part."""

    parts: Mapping[str, str]
    lists: Mapping[str, Mapping[str, str]]
    """By the JSON of their members' keys, in order."""


@dataclass(frozen=True, eq=False)
class _Digests:
    """What is remembered of a view that was told."""

    parts: Mapping[str, bytes]
    lists: Mapping[str, Mapping[str, bytes]]

    @property
    def whole(self) -> str:
        """The digest of the view."""
        of = blake2b(digest_size=16)
        for name, digest in self.parts.items():
            of.update(name.encode() + b"=" + digest)
        for name, members in self.lists.items():
            of.update(b"%b[%d" % (name.encode(), len(members)))
            for digest in members.values():
                of.update(digest)
        return of.hexdigest()


class ToldViews:
    """What pages were told last."""

    def __init__(self) -> None:
        self._known = Memory(MAX_TOLD)

    def answer(self, view: View, since: str = "") -> Response:
        """Answer with a view, or with what of it differs from one that the page has.

        Parameters
        ----------
        view : mapping
        since : str
            Digest of the view that the page has; empty for none.
        """
        texts = _texts(view)
        now = _digests(texts)
        had: _Digests | None = self._known.get(since) if since else None
        digest = now.whole
        self._known.put(digest, now)
        if (
            had is None
            or had.parts.keys() != now.parts.keys()
            or had.lists.keys() != now.lists.keys()
        ):
            return told_text(_object({**_whole(texts), "digest": _json(digest)}))
        changed = {"since": _json(since), "digest": _json(digest), **_changed(texts, had, now)}
        return told_text(_object(changed))


def _texts(view: View) -> _Texts:
    lists = {name: members for name in view if (members := _members(name, view[name])) is not None}
    return _Texts({name: _json(view[name]) for name in view if name not in lists}, lists)


def _members(name: str, value: object) -> Mapping[str, str] | None:
    """Return a list's members by their keys; None for what is none, or has a key twice."""
    if name not in KEYS or not isinstance(value, list):
        return None
    key = KEYS[name]
    members = {_json(one[key]): _json(one) for one in value}
    return members if len(members) == len(value) else None


def _digests(texts: _Texts) -> _Digests:
    return _Digests(
        {name: _digest(text) for name, text in texts.parts.items()},
        {
            name: {key: _digest(text) for key, text in members.items()}
            for name, members in texts.lists.items()
        },
    )


def _digest(text: str) -> bytes:
    return blake2b(text.encode("utf-8", "surrogatepass"), digest_size=DIGEST_BYTES).digest()


def _whole(texts: _Texts) -> Mapping[str, str]:
    lists = {name: _list(list(members.values())) for name, members in texts.lists.items()}
    return {**texts.parts, **lists}


def _changed(texts: _Texts, had: _Digests, now: _Digests) -> Mapping[str, str]:
    """Return the parts that differ, and of each list that does its new members."""
    parts = {name: text for name, text in texts.parts.items() if now.parts[name] != had.parts[name]}
    lists = {
        name: _object(_list_changed(KEYS[name], members, had.lists[name], now.lists[name]))
        for name, members in texts.lists.items()
        if list(now.lists[name].items()) != list(had.lists[name].items())
    }
    return {"parts": _object(parts), "lists": _object(lists)}


def _list_changed(
    key: str, texts: Mapping[str, str], had: Mapping[str, bytes], now: Mapping[str, bytes]
) -> Mapping[str, str]:
    fresh = [text for one, text in texts.items() if had.get(one) != now[one]]
    told = {"key": _json(key), "fresh": _list(fresh)}
    return told if list(had) == list(now) else {**told, "order": _list(list(now))}


def _object(texts: Mapping[str, str]) -> str:
    return "{" + ",".join(f"{_json(name)}:{text}" for name, text in texts.items()) + "}"


def _list(texts: Sequence[str]) -> str:
    return "[" + ",".join(texts) + "]"
