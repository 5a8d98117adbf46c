"""Photos that are to be added, one after the other on a thread of its own."""

from __future__ import annotations

import secrets
import shutil
import tempfile
from collections import OrderedDict
from dataclasses import dataclass
from pathlib import Path
from queue import Queue
from threading import Lock, Thread
from typing import TYPE_CHECKING, Any, Final, Literal

from catalog.errors import CalicountError, CatalogueError
from cli.page.answers import NotThereError, TooLargeError
from cli.page.shop import Shop

if TYPE_CHECKING:
    from fractions import Fraction

    from catalog.kept.catalogue import Added

MOST_WAITING: Final = 200
"""Photos that may wait; a bundle takes a dozen."""
MOST_BYTES: Final = 4_000_000_000
"""Of all photos that wait, on the disk: four hundred of a phone's largest."""
REMEMBERED: Final = 1_000
"""Photos done with of which the outcome is still known."""
PATIENCE: Final = 20.0
"""Seconds that ending waits for the photo that is being read."""


@dataclass
class Job:
    """One photo on its way into a bundle."""

    id: str
    name: str
    """Of the photo."""
    bundle: str
    """Name of the bundle."""
    side: Fraction
    file: Path
    size: int = 0
    """Bytes."""
    state: Literal["waiting", "working", "done", "failed"] = "waiting"
    words: str = "waiting for its turn"
    problem: CalicountError | None = None
    bundle_id: int | None = None


class Jobs:
    """The photos that wait, and what became of those before.

    Parameters
    ----------
    shop : Shop
        Whose catalogue they are added to.
    """

    def __init__(self, shop: Shop) -> None:
        self._shop = shop
        self._queue: Queue[Job | None] = Queue()
        self._jobs: OrderedDict[str, Job] = OrderedDict()
        self._lock = Lock()
        self._ending = False
        self._folder = Path(tempfile.mkdtemp(prefix="calicount-"))
        self._thread = Thread(target=self._work, name="photos", daemon=True)
        self._thread.start()

    def reserve(self, name: str, bundle: str, side: str | None) -> Job:
        """Make room for a photo that is to be sent.

        Parameters
        ----------
        name : str
            Of the photo.
        bundle : str
        side : str, optional
            What its squares measure; what the bundle's do, or 5 inches, if None.

        Raises
        ------
        CalicountError
            Too many wait already, the bundle's squares have another size, or no bundle can be
            called so.
        """
        fit, inches = self._shop.bundle_for(bundle, side)
        with self._lock:
            waiting = [one for one in self._jobs.values() if one.state == "waiting"]
            if len(waiting) >= MOST_WAITING or sum(one.size for one in waiting) > MOST_BYTES:
                raise TooLargeError(
                    f"{len(waiting)} photos are waiting already", "add more when they are read"
                )
            number = secrets.token_hex(8)
            job = Job(number, name, fit, inches, self._folder / number)
            self._jobs[number] = job
            self._forget()
        return job

    def drop(self, job: Job) -> None:
        """Let go of a photo that didn't arrive."""
        with self._lock:
            self._jobs.pop(job.id, None)
        job.file.unlink(missing_ok=True)

    def start(self, job: Job, size: int) -> None:
        """Put a photo that has arrived in the row, so many bytes of it."""
        job.size = size
        self._queue.put(job)

    @property
    def under_way(self) -> list[str]:
        """Numbers of the photos that wait or are being read."""
        with self._lock:
            return [n for n, one in self._jobs.items() if one.state in {"waiting", "working"}]

    def view(self, number: str) -> dict[str, Any]:
        """Return how far a photo has come.

        Raises
        ------
        NotThereError
            There is none of that number.
        """
        job = self._jobs.get(number)
        if job is None:
            raise NotThereError("nothing is known of that photo", "look whether it is there")
        return {
            "state": job.state,
            "words": job.words,
            "problem": job.problem.problem if job.problem else None,
            "cure": job.problem.cure if job.problem else None,
            "bundle": job.bundle_id,
            "name": job.name,
        }

    def close(self) -> None:
        """Let the photo that is being added be added, drop those that wait, and tidy up."""
        self._ending = True
        self._queue.put(None)
        self._thread.join(PATIENCE)
        shutil.rmtree(self._folder, ignore_errors=True)

    def _work(self) -> None:
        while (job := self._queue.get()) is not None and not self._ending:
            try:
                self._add(job)
            except CalicountError as error:
                self._fail(job, error)
            except MemoryError:
                self._fail(job, CatalogueError("the computer's memory is full", "close programs"))
            except Exception as error:
                kind = " ".join(f"{type(error).__name__}: {error}".split())[:200]
                problem = f"a fault of calicount itself ({kind})"
                self._fail(job, CatalogueError(problem, "please report it, with the photo"))
            finally:
                job.file.unlink(missing_ok=True)

    def _add(self, job: Job) -> None:
        from catalog.looking import look_at

        job.state, job.words = "working", "looking for squares"
        content = job.file.read_bytes()
        looked = look_at(content, job.name, float(job.side))
        if looked.problem is not None:
            raise looked.problem
        if self._ending:
            return
        job.words = f"measuring {len(looked.found.squares)} squares"
        with self._shop.catalogue() as catalogue:
            added = catalogue.add(job.bundle, job.side, [(looked, content)])
        job.bundle_id = added.kept.id
        job.words, job.state = _words(added, len(looked.found.squares)), "done"

    def _fail(self, job: Job, error: CalicountError) -> None:
        job.problem, job.words, job.state = error, "could not be added", "failed"

    def _forget(self) -> None:
        """Let the oldest go that are done with."""
        over = len(self._jobs) - REMEMBERED
        old = [n for n, one in self._jobs.items() if one.state in {"done", "failed"}]
        for number in old[: max(over, 0)]:
            del self._jobs[number]


def _words(added: Added, squares: int) -> str:
    if added.known:
        return "in the bundle already"
    return f"{squares} {'square' if squares == 1 else 'squares'} found"
