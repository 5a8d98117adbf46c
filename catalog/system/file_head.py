"""The first bytes of a file that a user named."""

from __future__ import annotations

from pathlib import Path


class NotAFileError(OSError):
    """A path that names neither a file nor a folder, such as a pipe."""


def file_head(path: Path, most: int) -> bytes:
    """Return the first bytes of a file, ``most`` at most.

    Raises
    ------
    IsADirectoryError
        It is a folder.
    NotAFileError
        It is neither: a pipe would be waited for without end.
    FileNotFoundError, ValueError
        There is none, or can be none of that name.
    OSError
        It can't be read.
    """
    if path.is_dir():
        raise IsADirectoryError
    if path.exists() and not path.is_file():
        raise NotAFileError
    with path.open("rb") as stream:
        return stream.read(most)
