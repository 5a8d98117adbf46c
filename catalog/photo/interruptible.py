"""Ctrl-C heeded while a decoder works."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import TypeVar

from catalog.system.beside import begun
from catalog.system.silence import ERROR, give_back

_Result = TypeVar("_Result")


def heeding(work: Callable[[], _Result]) -> _Result:
    """Do some work, and give up waiting for it on Ctrl-C.

    Python heeds a signal between two of its own steps and in the main thread alone, and one call
    into a decoder may take ten seconds; so the main thread waits, and another does the work. Where
    that is given up it goes on till it is done, or the process ends.
    """
    if threading.current_thread() is not threading.main_thread():
        return work()
    try:
        return begun(work)()
    except KeyboardInterrupt:
        give_back(ERROR)  # which the work may have turned away, and there is a word to say
        raise
