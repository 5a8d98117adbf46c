"""Standard output kept free of what compiled libraries print."""

from __future__ import annotations

import ctypes
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


@contextmanager
def silent_output() -> Iterator[None]:
    """Let nothing that compiled code prints reach standard output, which is the user's data.

    HiGHS prints a line of its own whenever it repairs a solution (no setting turns it off). It goes
    past Python to the process's first descriptor, so that is turned away for the while. What this
    process prints from other threads in the meantime is lost too.
    """
    try:
        kept = os.dup(1)
    except OSError:  # no standard output, as in a program without a console
        yield
        return
    try:
        _flush()
        with Path(os.devnull).open("wb") as nowhere:
            os.dup2(nowhere.fileno(), 1)
            try:
                yield
                _flush()
            finally:
                os.dup2(kept, 1)
    finally:
        os.close(kept)


def _flush() -> None:
    """Empty the buffers of Python's and of C's standard output."""
    if sys.stdout is not None:
        sys.stdout.flush()
    try:
        ctypes.CDLL("ucrtbase" if os.name == "nt" else None).fflush(None)
    except (OSError, AttributeError):  # no such C library: its buffer stays as it is
        return
