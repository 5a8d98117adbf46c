"""Work done on a thread of its own while other work goes on; Ctrl-C is heeded meanwhile."""

from __future__ import annotations

import threading
from collections.abc import Callable
from concurrent.futures import Future
from concurrent.futures import TimeoutError as StillAtWork
from functools import partial
from typing import Final, TypeVar

_Result = TypeVar("_Result")
_LOOK: Final = 0.2
"""Seconds between two looks, for systems on which waiting can't be interrupted."""


def begun(work: Callable[[], _Result]) -> Callable[[], _Result]:
    """Begin some work beside, and return what waits for it.

    It pays where the work is mostly done by compiled code, which needn't hold the interpreter.

    Returns
    -------
    callable
        Gives what the work gave, or raises what it raised. Where waiting is given up on Ctrl-C the
        work goes on till it is done, or the process ends.
    """
    done: Future[_Result] = Future()
    threading.Thread(target=_carry_out, args=(work, done), daemon=True).start()
    return partial(awaited, done)


def awaited(done: Future[_Result]) -> _Result:
    """Wait for what some work gives, or raise what it raised; Ctrl-C is heeded meanwhile."""
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
