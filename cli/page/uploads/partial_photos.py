"""Parts of photos that are on their way, beside the catalogue: found again after a restart.

A photo is known by a name that the page gives it, mostly its digest, and by the bundle that it is
for. Its part grows as pieces come, and is moved to the row when it is whole.
"""

from __future__ import annotations

import contextlib
import hashlib
import re
import time
from pathlib import Path
from threading import Lock
from typing import Final

from catalog.errors import UsageError
from cli.page.routes.http_answers import TooLargeError

KEY: Final = re.compile(r"(sha256|random)-[0-9a-f]{64}")
"""A page that its browser doesn't trust with digests, as over http from another device, gives any
number in place of one."""
IDLE: Final = 3 * 86_400.0
"""Seconds after which a part to which nothing was added is swept: a weekend. The page has the photo
still, so nothing but time is lost."""
MAX_PARTS: Final = 200
"""As many as photos may wait in the row."""
_OWNER: Final = 0o700


class PartialPhotos:
    """The folder of parts of one catalogue, made when the first comes and gone with the last.

    Parameters
    ----------
    catalogue : Path
    """

    def __init__(self, catalogue: Path) -> None:
        self.folder = catalogue.with_name(f"{catalogue.name}.uploads")
        self._busy: set[Path] = set()
        self._lock = Lock()
        self.sweep()

    def part(self, key: str, bundle: str) -> Path:
        """Return where the part of a photo lies, or is to lie.

        Raises
        ------
        UsageError
            That is no key.
        """
        if not KEY.fullmatch(key):
            raise UsageError("the page sent a photo without its digest", "load the page again")
        name = hashlib.sha256(f"{key} {bundle.casefold()}".encode()).hexdigest()[:32]
        return self.folder / f"{name}.part"

    def offset(self, part: Path) -> int:
        """Return how many bytes of a photo are here."""
        try:
            return part.stat().st_size
        except FileNotFoundError:
            return 0

    def take(self, part: Path) -> bool:
        """Let one request write to a part; False where another does."""
        with self._lock:
            if part in self._busy:
                return False
            self._busy.add(part)
        return True

    def release(self, part: Path) -> None:
        """Let others write to it."""
        with self._lock:
            self._busy.discard(part)

    def begin(self, part: Path) -> None:
        """Make room for a part.

        Raises
        ------
        TooLargeError
            There are too many.
        """
        self.sweep()
        with self._lock:
            self.folder.mkdir(mode=_OWNER, exist_ok=True)
            if not part.exists() and len(list(self.folder.iterdir())) >= MAX_PARTS:
                raise TooLargeError("too many photos are on their way", "wait until some are read")

    def drop(self, part: Path) -> None:
        """Let go of a part, or of a whole photo that was read."""
        with self._lock:
            part.unlink(missing_ok=True)
            with contextlib.suppress(OSError):  # others lie there, or it is gone
                self.folder.rmdir()

    def sweep(self) -> None:
        """Remove parts to which nothing was added for long."""
        with contextlib.suppress(OSError):
            old = [one for one in self.folder.glob("*.part") if _idle(one)]
            for one in old:
                if one not in self._busy:
                    self.drop(one)


def digest_fits(part: Path, key: str) -> bool:
    """Tell whether a whole photo is the one that its key says."""
    kind, _, told = key.partition("-")
    if kind != "sha256":
        return True
    with part.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest() == told


def _idle(part: Path) -> bool:
    return time.time() - part.stat().st_mtime > IDLE
