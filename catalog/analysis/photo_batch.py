"""Many photos at once, each in a process of its own, and their lights brought together."""

from __future__ import annotations

import os
import signal
import threading
import warnings
from collections.abc import Callable, Generator, Iterable, Iterator, Sequence
from concurrent.futures.process import BrokenProcessPool
from contextlib import closing, contextmanager
from functools import partial
from itertools import chain, islice
from pathlib import Path

from catalog.analysis.single_photo import PhotoAnalysis, analyse_photo, remeasure_photo, unreadable
from catalog.errors import CalicountError, WorkerError
from catalog.light import join_lights
from catalog.models import Light, LightHints, Swatch
from catalog.photo import read_content
from catalog.phrases import printable
from catalog.system.progress import Progress, unreported

Work = Callable[[], PhotoAnalysis]
"""One photo's share, which another process can do."""

MIN_APART = 4
"""Photos to be measured again that are worth a process: to start one takes as long as two to three
photos of 3 megapixels do."""
LOST = ("KilledWorker", "CancelledError", "CommClosedError")
"""What a cluster says when its processes or its scheduler go."""


def analyse_photos(
    sources: Iterable[tuple[str, bytes | Path]],
    side_in: float,
    *,
    jobs: int | None = None,
    tell: Progress = unreported,
    hints: LightHints | None = None,
) -> Iterator[PhotoAnalysis]:
    """Look at photos, several at once, and give what each shows in the order of the photos.

    Parameters
    ----------
    sources : iterable of (str, bytes or Path)
        Each photo's name and its file or where that lies. Taken from only as fast as there is
        work to do, so that an iterator keeps few of them in memory.
    side_in : float
        What the squares measure, inches.
    jobs : int, optional
        Processes; 1 does all in this one, None takes as many as there are cores. Inside
        ``joblib.parallel_config(backend="dask")`` a cluster takes their place, which is sent the
        files' bytes and needs no folder in common.
    tell : callable
        Told how far it has come.
    hints : LightHints, optional
        What the user says of every photo; only the ground makes sense for several.

    Yields
    ------
    PhotoAnalysis
        With ``problem`` for one that can't be read; the rest goes on.

    Raises
    ------
    WorkerError
        A process was ended from outside.
    """
    total = f" of {len(sources)}" if isinstance(sources, Sequence) else ""
    work = (_share(name, what, side_in, hints) for name, what in sources)
    with closing(_done(work, jobs)) as done:
        for number, looked in enumerate(done, start=1):
            tell(f"looked at photo {number}{total}: {looked.name}")
            yield looked


def with_joined_lights(
    looked: Sequence[PhotoAnalysis], content_of: Callable[[int], bytes], *, jobs: int | None = 1
) -> tuple[PhotoAnalysis, ...]:
    """Bring the lights of a bundle's photos together, by the prints that they share.

    Parameters
    ----------
    looked : sequence of PhotoAnalysis
    content_of : callable
        Gives the file of a photo by its place in ``looked``, for those measured again.
    jobs : int, optional
        As for `analyse_photos`; few photos are measured in this process all the same.

    Returns
    -------
    tuple of PhotoAnalysis
        In the same order; the same object where nothing changes.
    """
    changed = dict(changed_lights([one.light for one in looked], [one.swatches for one in looked]))
    work = (
        partial(remeasure_photo, content_of(place), looked[place].name, looked[place].found, light)
        for place, light in changed.items()
    )
    with closing(_done(work, jobs if len(changed) >= MIN_APART else 1)) as done:
        again = dict(zip(changed, done, strict=True))
    return tuple(again.get(place, one) for place, one in enumerate(looked))


def changed_lights(
    lights: Sequence[Light | None], groups: Sequence[Sequence[Swatch]]
) -> Iterator[tuple[int, Light]]:
    """Yield the place and the new light of photos whose light others have something to say of.

    Parameters
    ----------
    lights : sequence of Light or None
        One for each photo.
    groups : sequence of sequences of Swatch
        Each photo's squares, measured in that light.
    """
    for place, light in enumerate(join_lights(lights, groups)):
        if light is not None and light is not lights[place]:
            yield place, light


def _share(name: str, what: bytes | Path, side_in: float, hints: LightHints | None) -> Work:
    """Return the work on one photo; its file is read here, where the user's disk is."""
    try:
        content = what if isinstance(what, bytes) else read_content(what)
    except CalicountError as error:
        return partial(unreadable, printable(name), "", error)
    return partial(analyse_photo, content, name, side_in, hints)


def _done(work: Iterator[Work], jobs: int | None) -> Generator[PhotoAnalysis]:
    """Do the work, in this process where there is but one share or one job."""
    few = list(islice(work, 2))
    if jobs == 1 or len(few) < 2:
        for share in chain(few, work):
            yield share()
        return
    from joblib import Parallel, delayed

    home = os.getpid()
    shares = (delayed(_away)(share, home) for share in chain(few, work))
    try:
        with _ctrl_c_kept_from_children():
            results = Parallel(
                n_jobs=jobs or -1, return_as="generator", batch_size=1, pre_dispatch="n_jobs + 2"
            )(shares)
        with _quietly_closing(results):
            for looked in results:  # noqa: UP028 - "yield from" would do the closing, not quietly
                yield looked
    except TimeoutError as error:
        problem = "the cluster has no process free to look at the photos"
        raise WorkerError(problem, "start its workers and try again") from error
    except Exception as error:
        if isinstance(error, BrokenProcessPool) or type(error).__name__ in LOST:
            raise _lost() from error
        raise


@contextmanager
def _quietly_closing(results: Generator[PhotoAnalysis]) -> Iterator[None]:
    """End work that is no longer wanted without joblib's word on what that wasted."""
    try:
        yield
    finally:
        with warnings.catch_warnings():
            warnings.filterwarnings("ignore", ".*adjusting the input task iterator", UserWarning)
            results.close()


@contextmanager
def _ctrl_c_kept_from_children() -> Iterator[None]:
    """Be deaf to Ctrl-C while processes start, which then stay so and leave it to this one.

    One that it met while it started would print where it stood.
    """
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, signal.default_int_handler if before is None else before)


def _away(share: Work, home: int) -> PhotoAnalysis:
    """Do a share, on one thread where that is a process beside others."""
    if os.getpid() != home:
        import cv2

        cv2.setNumThreads(1)
        # Ctrl-C is left to the process that gave out the work, which ends this one without a word;
        # a cluster's are left as they are.
        if threading.current_thread() is threading.main_thread():
            signal.signal(signal.SIGINT, signal.SIG_IGN)
    return share()


def _lost() -> WorkerError:
    return WorkerError(
        "one of the processes that look at the photos was ended from outside, as happens when "
        "memory runs out",
        "try again with fewer at a time, such as --jobs 1",
    )
