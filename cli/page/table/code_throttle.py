"""How fast codes may be guessed: with pauses that grow, for each address and for all together."""

from __future__ import annotations

import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from ipaddress import ip_address, ip_network
from threading import Lock
from typing import Final

LONGEST_PAUSE: Final = 60.0
"""Seconds (choice of ours). With it no more than 20 codes can be guessed in the ten minutes for
which one lasts, from however many addresses: one chance in 50,000."""
SLIPS: Final = 5
"""Wrong codes of all together without a pause for all: that of who typed wrong is enough."""
FORGET_AFTER: Final = 1800.0
"""Seconds without a wrong code after which earlier ones no longer count."""
MAX_ADDRESSES: Final = 1_000
"""Of which wrong codes are remembered; who has more of them meets the pause for all."""
_OF_ONE_HOME: Final = 64
"""Bits of an IPv6 address that one device may not choose (RFC 4291, section 2.5.4)."""


@dataclass
class _Record:
    wrong: int = 0
    last: float = 0.0
    """When the last was."""
    free_from: float = 0.0


class CodeThrottle:
    """Weighs guesses one after another.

    Parameters
    ----------
    clock : callable
        Seconds that only grow.
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock, self._lock = clock, Lock()
        self._of: OrderedDict[str, _Record] = OrderedDict()
        self._all = _Record()

    def tried(self, address: str, right: Callable[[], bool], *, typed: bool = True) -> float | None:
        """Let a code be tried, unless it is too soon.

        Parameters
        ----------
        address : str
            That it comes from.
        right : callable
            Says whether the code is right; not asked where it is too soon.
        typed : bool
            Whether it is short enough to be guessed: the pause for all holds for such alone, so
            that nobody who guesses keeps out who has the long one.

        Returns
        -------
        float or None
            None where it was right; else seconds until the next may be tried from there.
        """
        with self._lock:
            now, own = self._clock(), self._record(address)
            _forget(own, now)
            _forget(self._all, now)
            wait = max(own.free_from, self._all.free_from if typed else 0.0) - now
            if wait > 0:
                return wait
            if right():
                own.wrong = 0
                return None
            _miss(own, now, 0)
            _miss(self._all, now, SLIPS)
            return max(own.free_from, self._all.free_from if typed else 0.0) - now

    def _record(self, address: str) -> _Record:
        key = _home_of(address)
        known = self._of.setdefault(key, _Record())
        self._of.move_to_end(key)
        if len(self._of) > MAX_ADDRESSES:
            self._of.popitem(last=False)
        return known


def _miss(one: _Record, now: float, free: int) -> None:
    """Count a wrong code; the pause doubles with each beyond those that are free."""
    one.wrong += 1
    one.last = now
    over = one.wrong - free
    if over > 0:
        one.free_from = now + min(2.0 ** min(over - 1, 30), LONGEST_PAUSE)


def _forget(one: _Record, now: float) -> None:
    if one.wrong and now - one.last > FORGET_AFTER:
        one.wrong = 0


def _home_of(address: str) -> str:
    """Return what of an address a device can't change at will."""
    try:
        known = ip_address(address.partition("%")[0])
    except ValueError:
        return address
    if known.version == 4:
        return address
    return str(ip_network((known, _OF_ONE_HOME), strict=False))
