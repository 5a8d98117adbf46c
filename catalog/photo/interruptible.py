"""Ctrl-C heeded while a decoder works."""

from __future__ import annotations

import threading
from collections.abc import Callable
from concurrent.futures import Future
from concurrent.futures import TimeoutError as StillAtWork
from typing import Final, TypeVar

from catalog.system.silence import ERROR, give_back

_Result = TypeVar("_Result")
_LOOK: Final = 0.2
"""Seconds between two looks, for systems on which waiting can't be interrupted."""


def heeding(work: Callable[[], _Result]) -> _Result:
    """Do some work, and give up waiting for it on Ctrl-C.

    Python heeds a signal between two of its own steps and in the main thread alone, and one call
    into a decoder may take ten seconds; so the main thread waits, and another does the work. Where
    that is given up it goes on till it is done, or the process ends.
    """
    if threading.current_thread() is not threading.main_thread():
        return work()
    done: Future[_Result] = Future()
    try:
        threading.Thread(target=_carry_out, args=(work, done), daemon=True).start()
        return _awaited(done)
    except KeyboardInterrupt:
        give_back(ERROR)  # which the work may have turned away, and there is a word to say
        raise


def _awaited(done: Future[_Result]) -> _Result:
    while True:
        try:
            return done.result(timeout=_LOOK)
        except StillAtWork:
            if done.done():  # then it is the work that raised it
                raise


def _carry_out(work: Callable[[], _Result], done: Future[_Result]) -> None:
    try:
        result = work()
    except BaseException as error:
        done.set_exception(error)
    else:
        done.set_result(result)
