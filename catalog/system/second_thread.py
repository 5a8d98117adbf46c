"""A second thread for a stage of many small steps."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from functools import partial
from typing import Protocol, TypeVar

from catalog.system.beside import awaited

_Result = TypeVar("_Result")


class Begin(Protocol):
    """Begins some work on the other thread, where one piece is done after another."""

    def __call__(self, work: Callable[[], _Result], /) -> Callable[[], _Result]:
        """Return what waits for the work and gives what it gave."""


@contextmanager
def second_thread() -> Iterator[Begin]:
    """Give what begins work beside this thread, which gains by it where the other's is compiled.

    OpenCV's own threads, which share out each single step, cost a stage of many small steps more
    than they give it: they rest meanwhile. Where OpenCV is held to one thread anyhow, as in
    processes beside others, all is done at once, on this thread.
    """
    import cv2

    before = cv2.getNumThreads()
    if before < 2:
        yield _at_once
        return
    cv2.setNumThreads(1)
    pool = ThreadPoolExecutor(max_workers=1)
    try:
        yield lambda work: partial(awaited, pool.submit(work))
    finally:
        pool.shutdown(cancel_futures=True)
        cv2.setNumThreads(before)


def _at_once(work: Callable[[], _Result]) -> Callable[[], _Result]:
    result = work()
    return lambda: result
