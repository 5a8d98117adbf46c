"""Photos that are to be added, looked at one after the other on a thread of its own.

Those of one bundle that wait together are added together: each time photos are added, the lights of
all of the bundle's are brought together anew.
"""

from __future__ import annotations

import secrets
import shutil
import tempfile
from collections import OrderedDict, deque
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from threading import Condition, Thread
from typing import TYPE_CHECKING, Any, Final, Literal

from catalog.errors import CalicountError, CatalogueError
from catalog.phrases import in_one_line
from cli.page.routes.http_answers import NotThereError, TooLargeError
from cli.page.server_state import ServerState

if TYPE_CHECKING:
    from fractions import Fraction

    from catalog.analysis import PhotoAnalysis
    from catalog.catalogue.photo_intake import Added

    Ready = tuple["Job", PhotoAnalysis, bytes]
    """A photo that was looked at, and its file."""

MAX_WAITING: Final = 200
"""Photos that may wait; a bundle takes a dozen."""
MAX_WAITING_BYTES: Final = 4_000_000_000
"""Of all photos that wait, on the disk: four hundred of a phone's largest."""
MAX_ADDED_TOGETHER: Final = 24
"""Photos added at once at most: their files are held in memory, some 5 MB each."""
MAX_JOBS_REMEMBERED: Final = 1_000
"""Photos done with of which the outcome is still known."""
PATIENCE: Final = 20.0
"""Seconds that ending waits for the photo that is being read."""

JobState = Literal["waiting", "working", "done", "failed"]


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
    state: JobState = "waiting"
    words: str = "waiting for its turn"
    problem: CalicountError | None = None
    bundle_id: int | None = None
    upload: str = ""
    """By what the page knows it that sent it in pieces."""
    let_go: Callable[[Path], None] = Path.unlink
    """Called with the file when it was read."""

    @property
    def view(self) -> dict[str, Any]:
        """How far it has come, as the page is told."""
        return {
            "job": self.id,
            "state": self.state,
            "words": self.words,
            "problem": self.problem.problem if self.problem else None,
            "cure": self.problem.cure if self.problem else None,
            "bundle": self.bundle_id,
            "name": self.name,
            "upload": self.upload,
        }


class Jobs:
    """The photos that wait, and what became of those before.

    Parameters
    ----------
    state : ServerState
        Whose catalogue they are added to.
    """

    def __init__(self, state: ServerState) -> None:
        self._server = state
        self._row: deque[Job] = deque()
        self._jobs: OrderedDict[str, Job] = OrderedDict()
        self._lock = Condition()
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
        fit, inches = self._server.bundle_for(bundle, side)
        with self._lock:
            waiting = [one for one in self._jobs.values() if one.state == "waiting"]
            if len(waiting) >= MAX_WAITING or sum(one.size for one in waiting) > MAX_WAITING_BYTES:
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
        self._server.events.forget("job", job.id)
        job.file.unlink(missing_ok=True)

    def start(self, job: Job, size: int) -> None:
        """Put a photo that has arrived in the row, so many bytes of it."""
        with self._lock:
            job.size = size
            self._row.append(job)
            self._tell(job)
            self._lock.notify()

    @property
    def under_way(self) -> list[str]:
        """Numbers of the photos that wait or are being read."""
        with self._lock:
            return [n for n, one in self._jobs.items() if one.state in {"waiting", "working"}]

    def of_upload(self, upload: str) -> Job | None:
        """Return the photo that came under a name, unless it couldn't be added."""
        with self._lock:
            told = [one for one in self._jobs.values() if one.upload == upload]
        return next((one for one in told if one.state != "failed"), None)

    def busy_with(self, bundle: str) -> bool:
        """Tell whether photos of a bundle wait or are being read."""
        with self._lock:
            return any(
                one.bundle.casefold() == bundle.casefold() and one.state in {"waiting", "working"}
                for one in self._jobs.values()
            )

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
        return job.view

    def close(self) -> None:
        """Let the photo that is being added be added, drop those that wait, and tidy up."""
        with self._lock:
            self._ending = True
            self._lock.notify()
        self._thread.join(PATIENCE)
        shutil.rmtree(self._folder, ignore_errors=True)

    def _work(self) -> None:
        while (job := self._next()) is not None:
            ready: list[Ready] = []
            first = job
            while job is not None:
                ready += self._look(job)
                job = self._next(first) if len(ready) < MAX_ADDED_TOGETHER else None
            if ready and not self._ending:
                self._add(ready)

    def _next(self, like: Job | None = None) -> Job | None:
        """Take the next photo if it is of the same bundle; of any, wait for it; None at the end."""
        with self._lock:
            while like is None and not self._row and not self._ending:
                self._lock.wait()
            if self._ending or not self._row:
                return None
            next_ = self._row[0]
            same = like is None or (next_.bundle, next_.side) == (like.bundle, like.side)
            return self._row.popleft() if same else None

    def _look(self, job: Job) -> list[Ready]:
        """Look at a photo; nothing comes of one that can't be read or shows no squares."""
        from catalog.analysis import analyse_photo
        from catalog.errors import NoSquaresError

        self._tell(job, "working", "looking for squares")
        with self._failing([job]):
            content = job.file.read_bytes()
            job.let_go(job.file)
            looked = analyse_photo(content, job.name, float(job.side))
            if looked.problem is not None:
                raise looked.problem
            if not looked.found.squares:
                raise NoSquaresError(
                    f"{job.name}: no squares found", "lay them flat and photograph them whole"
                )
            self._tell(job, "working", f"{_squares(looked)} found, to be measured")
            return [(job, looked, content)]
        return []

    def _add(self, ready: Sequence[Ready]) -> None:
        first = ready[0][0]
        with self._failing([job for job, _, _ in ready]):
            with self._server.catalogue() as catalogue:
                photos = [(looked, content) for _, looked, content in ready]
                added = catalogue.add(first.bundle, first.side, photos)
            self._server.watch.look()
            for job, looked, _ in ready:
                job.bundle_id = added.kept.id
                self._tell(job, "done", _outcome(looked, added))

    @contextmanager
    def _failing(self, jobs: Sequence[Job]) -> Iterator[None]:
        """Let whatever goes wrong with photos be told of them, and the next have their turn."""
        try:
            yield
        except CalicountError as error:
            self._fail(jobs, error)
        except MemoryError:
            self._fail(
                jobs, CatalogueError("the computer's memory is full", "close other programs")
            )
        except Exception as error:
            problem = f"a fault of calicount itself ({in_one_line(error)[:200]})"
            self._fail(jobs, CatalogueError(problem, "please report it, with the photo"))

    def _fail(self, jobs: Sequence[Job], error: CalicountError) -> None:
        for job in jobs:
            job.problem = error
            self._tell(job, "failed", "could not be added")

    def _tell(self, job: Job, state: JobState = "waiting", words: str = "") -> None:
        """Note how far a photo has come, and tell every tab."""
        job.words, job.state = words or job.words, state
        self._server.events.tell("job", job.view, job.id)

    def _forget(self) -> None:
        """Let the oldest go that are done with."""
        over = len(self._jobs) - MAX_JOBS_REMEMBERED
        old = [n for n, one in self._jobs.items() if one.state in {"done", "failed"}]
        for number in old[: max(over, 0)]:
            del self._jobs[number]
            self._server.events.forget("job", number)


def _outcome(looked: PhotoAnalysis, added: Added) -> str:
    if looked.digest in {photo.digest for photo in added.kept.gone_photos}:
        return "was taken out of the bundle earlier; take that back in the history to have it again"
    known = looked.name in added.known and looked.name not in added.added
    return "in the bundle already" if known else f"{_squares(looked)} found"


def _squares(looked: PhotoAnalysis) -> str:
    number = len(looked.found.squares)
    return f"{number} {'square' if number == 1 else 'squares'}"
