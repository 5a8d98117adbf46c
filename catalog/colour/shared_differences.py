"""Differences of the same squares, asked for again and again by choices that follow one another.

A plan chooses a bundle's sets for several larger quilts, and a count chooses them again for their
doubts: of 5,000 squares all differences take 200 MB and some seconds each time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from operator import is_

import numpy as np
from numpy.typing import NDArray

from catalog.models import Likeness, Swatch

Floats = NDArray[np.float64]

_Shared = dict[Likeness, tuple[tuple[Swatch, ...], Floats]]
_shared: ContextVar[_Shared | None] = ContextVar("shared differences", default=None)
"""By likeness the squares first asked for, and their differences; None where none are shared."""


@contextmanager
def differences_shared() -> Iterator[None]:
    """Let all that is asked for inside, of the squares first asked for, be worked out once.

    Nobody inside can change what it gets, but after `unshared`.
    """
    if _shared.get() is not None:
        yield
        return
    before = _shared.set({})
    try:
        yield
    finally:
        _shared.reset(before)


def unshared() -> None:
    """Give what was shared so far to who has it now, to do with as it likes."""
    shared = _shared.get() or {}
    for _, away in shared.values():
        away.flags.writeable = True
    shared.clear()


def shared_differences(
    swatches: Sequence[Swatch], likeness: Likeness, make: Callable[[], Floats]
) -> Floats:
    """Return the differences of some squares, those that are shared or new ones, (n, n)."""
    shared = _shared.get()
    if shared is None:
        return make()
    known = shared.get(likeness)
    if known is None:
        away = make()
        away.flags.writeable = False
        shared[likeness] = tuple(swatches), away
        return away
    same = len(known[0]) == len(swatches) and all(map(is_, known[0], swatches))
    return known[1] if same else make()
