"""What lets a device in, once and for ten minutes: a code to be read aloud, and a long one."""

from __future__ import annotations

import secrets
import time
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass, field
from threading import Lock
from typing import Final

from cli.page.guard import is_same

LASTS: Final = 600.0
"""Seconds that a code is good for."""
DIGITS: Final = 6
"""Of the spoken code: as many as are heard and typed at once (`common practice`)."""
MAX_TYPED: Final = 100
"""Letters of what is typed as a code."""


@dataclass(frozen=True)
class Invitation:
    """One way in, for one device."""

    until: float
    """By the clock of who made it."""
    code: str = field(default_factory=lambda: f"{secrets.randbelow(10**DIGITS):0{DIGITS}}")
    """To be read aloud and typed."""
    token: str = field(default_factory=lambda: secrets.token_urlsafe(16))
    """In the address that the QR code holds."""

    @property
    def spoken(self) -> str:
        """The code in two halves, as it is read aloud."""
        half = DIGITS // 2
        return f"{self.code[:half]} {self.code[half:]}"


class Invitations:
    """The one invitation that stands, if any.

    Parameters
    ----------
    clock : callable
        Seconds that only grow.
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock, self._lock = clock, Lock()
        self._now: Invitation | None = None
        self._none = Invitation(0.0)
        """What codes are held against where none stands."""

    def renew(self) -> Invitation:
        """Make an invitation; one that stood before is none any more."""
        with self._lock:
            self._now = Invitation(self._clock() + LASTS)
            return self._now

    def withdraw(self) -> None:
        """Invite nobody."""
        with self._lock:
            self._now = None

    @property
    def standing(self) -> tuple[Invitation, float] | None:
        """The invitation, with the seconds that are left of it; None where none stands."""
        with self._lock:
            return self._standing()

    def accept(self, given: str, *, typed: bool) -> bool:
        """Tell whether a code is right, which uses it up.

        As long is taken whether or not one stands, and however much of it is right.

        Parameters
        ----------
        given : str
            As typed, or the long code.
        typed : bool
            Which of the two it is.
        """
        with self._lock:
            held = self._standing()
            known = held[0] if held else self._none
            right = is_same(_digits(given), known.code) if typed else is_same(given, known.token)
            if not (right and held):
                return False
            self._now = None
            return True

    def _standing(self) -> tuple[Invitation, float] | None:
        if self._now is None:
            return None
        left = self._now.until - self._clock()
        return (self._now, left) if left > 0 else None


def _digits(typed: str) -> str:
    """Return the digits of what was typed, of any script, without blanks and dashes between."""
    return "".join(str(unicodedata.decimal(sign)) for sign in typed[:MAX_TYPED] if sign.isdecimal())
