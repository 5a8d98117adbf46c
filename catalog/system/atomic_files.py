"""Files written beside their place first and put there whole; what a kill left is cleared."""

from __future__ import annotations

import contextlib
import hashlib
import os
import platform
import re
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Final

OWNER_ONLY: Final = 0o600
"""Permissions (POSIX): read and write for the owner, nothing for others."""
_LEFT: Final = re.compile(
    r"\..+\.(?P<process>\d{1,10})-(?P<machine>[0-9a-f]{8})\.(part|old)(-journal|-wal|-shm)?",
    re.DOTALL,
)
_A_DAY: Final = 86_400.0
"""Seconds after which a file that nobody wrote to is taken for left, where the system can't be
asked whether a process lives."""


def part_of(place: Path) -> Path:
    """Return the file that this process writes before it takes a place."""
    return _own(place, "part")


def old_of(place: Path) -> Path:
    """Return the file that keeps what was in a place until all places are taken."""
    return _own(place, "old")


def clear_left(folder: Path) -> bool:
    """Take away what processes that were killed had begun to write in a folder.

    Only files that `part_of` and `old_of` name are touched, made on this machine by a process
    that lives no more.

    Returns
    -------
    bool
        Whether there were any.
    """
    found = False
    with contextlib.suppress(OSError):
        for one in folder.iterdir():
            told = _LEFT.fullmatch(one.name)
            if told and told["machine"] == _machine() and _ended(one, told["process"]):
                with contextlib.suppress(OSError):
                    one.unlink()
                    found = True
    return found


@contextmanager
def folder_made(folder: Path) -> Iterator[None]:
    """Make a folder where it is missing; it goes again where what is done inside fails."""
    missing = [one for one in (folder, *folder.parents) if not os.path.lexists(one)]
    try:
        folder.mkdir(parents=True, exist_ok=True)
        yield
    except BaseException:
        for one in missing:
            with contextlib.suppress(OSError):  # another may have put something there
                one.rmdir()
        raise
    for one in missing:
        folder_to_disk(one.parent)


def make_private(path: Path) -> None:
    """Make an empty file that its owner alone may read, whatever is usual here.

    Raises
    ------
    FileExistsError
        Something is there.
    """
    number = os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, OWNER_ONLY)
    try:
        if hasattr(os, "fchmod"):
            os.fchmod(number, OWNER_ONLY)
    finally:
        os.close(number)


def to_disk(path: Path) -> None:
    """Wait until the disk has a file, so that its name never stands for an empty one."""
    with path.open("rb+") as stream:
        os.fsync(stream.fileno())


def folder_to_disk(folder: Path) -> None:
    """Wait until the disk has a folder's names, where the system can do that."""
    if sys.platform == "win32":
        return
    with contextlib.suppress(OSError):  # some file systems can't
        number = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(number)
        finally:
            os.close(number)


def _own(place: Path, ending: str) -> Path:
    return place.with_name(f".{place.name}.{os.getpid()}-{_machine()}.{ending}")


@cache
def _machine() -> str:
    """Return a mark of this machine, as folders may be shared and processes have numbers there."""
    return hashlib.sha256(platform.node().encode("utf-8", "replace")).hexdigest()[:8]


def _ended(path: Path, process: str) -> bool:
    """Whether the process that wrote a file lives no more."""
    if sys.platform == "win32":  # there a signal of number 0 isn't a question but Ctrl-C
        return time.time() - path.stat().st_mtime > _A_DAY
    try:
        os.kill(int(process), 0)
    except ProcessLookupError:
        return True
    except (OSError, OverflowError):
        return False
    return False
