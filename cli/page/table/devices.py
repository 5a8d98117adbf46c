"""The devices that were let in by the second door: what kind each is, and since when."""

from __future__ import annotations

import re
import secrets
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from threading import Lock
from typing import Final

from catalog.errors import UsageError
from cli.page.guard import is_same
from cli.page.routes.http_answers import NotThereError

MAX_DEVICES: Final = 8
"""Let in at once: a phone and a tablet for each of a few who sew together (choice of ours)."""
_KINDS: Final = (
    ("tablet", re.compile(r"iPad|Tablet|Android(?!.*Mobi)")),
    ("phone", re.compile(r"Mobi|iPhone")),
    ("computer", re.compile(r"Windows|Macintosh|Linux|X11|CrOS")),
)
"""By what browsers say of themselves (MDN, "Browser detection using the user agent": phones say
``Mobi``; tablets of one system say its name without that)."""


@dataclass
class Device:
    """One that was let in."""

    kind: str
    """``phone``, ``tablet``, ``computer`` or ``device``."""
    address: str
    """On the network."""
    id: str = field(default_factory=lambda: secrets.token_hex(8))
    """By which its owner ends it; it opens nothing."""
    cookie: str = field(default_factory=lambda: secrets.token_urlsafe(32))
    since: datetime = field(default_factory=lambda: datetime.now(UTC))
    seen: datetime = field(default_factory=lambda: datetime.now(UTC))
    """When it asked for something last."""


class Devices:
    """Who is in."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._in: dict[str, Device] = {}

    def __iter__(self) -> Iterator[Device]:
        """Who came first, first."""
        with self._lock:
            return iter(tuple(self._in.values()))

    def let_in(self, agent: str, address: str) -> Device:
        """Let a device in.

        Parameters
        ----------
        agent : str
            What its browser says of itself.
        address : str

        Raises
        ------
        UsageError
            As many as may are in.
        """
        with self._lock:
            if len(self._in) >= MAX_DEVICES:
                raise full()
            device = Device(kind_of(agent), address)
            self._in[device.id] = device
            return device

    def known(self, cookie: str | None) -> Device | None:
        """Return the device that has a cookie, and note that it was seen; None for none."""
        if not cookie:
            return None
        found = [one for one in self if is_same(cookie, one.cookie)]
        for one in found:
            one.seen = datetime.now(UTC)
        return found[0] if found else None

    @property
    def is_full(self) -> bool:
        """Whether no more are let in."""
        return len(self._in) >= MAX_DEVICES

    def end(self, number: str) -> None:
        """Let a device in no longer.

        Raises
        ------
        NotThereError
            It isn't in.
        """
        with self._lock:
            if self._in.pop(number, None) is None:
                raise NotThereError("that device is not in any more", "look again who is in")

    def end_all(self) -> None:
        """Let no device in any longer."""
        with self._lock:
            self._in.clear()


def full() -> UsageError:
    """Return the error of a door that no more may pass."""
    return UsageError(
        f"{MAX_DEVICES} devices are in, which is as many as may be", "end one of them first"
    )


def kind_of(agent: str) -> str:
    """Return what kind of device a browser says it runs on."""
    return next((kind for kind, said in _KINDS if said.search(agent[:500])), "device")
