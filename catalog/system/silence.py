"""Standard output and error kept free of what compiled libraries print."""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

OUTPUT: Final = 1
ERROR: Final = 2
"""Descriptors of the standard streams (POSIX, STDOUT_FILENO and STDERR_FILENO)."""

_kept: dict[int, int] = {}
"""By a descriptor that is turned away, where it led."""
_heard: set[int] = set()
"""Descriptors that have a word to say, and aren't turned away."""
_one_at_a_time: Final = threading.RLock()


@contextmanager
def silent(descriptor: int) -> Iterator[None]:
    """Let nothing that compiled code prints reach a descriptor, which is for our words alone.

    HiGHS prints a line of its own whenever it repairs a solution, OpenCV's JPEG decoder one when
    data are damaged (no setting turns them off). They go past Python to the process's descriptor,
    so that is turned away for the while. What this process prints from other threads in the
    meantime is lost too.

    Parameters
    ----------
    descriptor : int
        `OUTPUT` or `ERROR`.
    """
    turned = _turn_away(descriptor)
    try:
        yield
        if turned:
            _flush()
    finally:
        if turned:
            give_back(descriptor)


@contextmanager
def heard(descriptor: int) -> Iterator[None]:
    """Let a descriptor lead where it leads, whatever another thread does meanwhile."""
    with _one_at_a_time:
        _heard.add(descriptor)
        give_back(descriptor)
    try:
        yield
    finally:
        _heard.discard(descriptor)


def _turn_away(descriptor: int) -> bool:
    """Turn a descriptor away, and return whether it wasn't already and could be."""
    with _one_at_a_time:
        if descriptor in _kept or descriptor in _heard:
            return False
        try:
            _kept[descriptor] = os.dup(descriptor)
        except OSError:  # there is none, as in a program without a console
            return False
        try:
            _flush()
            with Path(os.devnull).open("wb") as nowhere:
                os.dup2(nowhere.fileno(), descriptor)
        except BaseException:
            give_back(descriptor)
            raise
        return True


def give_back(descriptor: int) -> None:
    """Let a descriptor that was turned away lead again to where it led."""
    with _one_at_a_time:
        kept = _kept.pop(descriptor, None)
        if kept is not None:
            os.dup2(kept, descriptor)
            os.close(kept)


def _flush() -> None:
    """Empty the buffers of Python's and of C's standard output."""
    if sys.stdout is not None:
        sys.stdout.flush()
    import ctypes

    try:
        ctypes.CDLL("ucrtbase" if os.name == "nt" else None).fflush(None)
    except (OSError, AttributeError):  # no such C library: its buffer stays as it is
        return
