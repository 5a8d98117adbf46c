"""Write a run's files into a folder, all of them or none, and nothing of the user's over."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Iterable, Mapping
from itertools import count
from pathlib import Path

from catalog.errors import OutputError


def fresh_folder(base: Path) -> Path:
    """Return ``base`` if nothing is there, else the first free of ``base-2``, ``base-3``, ...

    Nothing is made.
    """
    if not os.path.lexists(base):
        return base
    numbered = (base.with_name(f"{base.name}-{number}") for number in count(2))
    return next(folder for folder in numbered if not os.path.lexists(folder))


def refuse_taken(folder: Path, ours: Iterable[str]) -> None:
    """Raise `OutputError` if the folder can't be one or holds any of these names.

    For use before the work begins; `write_files` asks again.
    """
    if folder.exists() and not folder.is_dir():
        raise OutputError(f"'{folder}' is a file, not a folder", "name a folder with --out")
    taken = [name for name in ours if os.path.lexists(folder / name)]
    if taken:
        raise OutputError(
            f"the folder '{folder}' already holds {', '.join(taken)}",
            "name another folder with --out, or add --replace to write over it",
        )


def write_files(
    folder: Path,
    contents: Mapping[str, bytes | str],
    *,
    ours: Iterable[str] = (),
    replace: bool = False,
) -> tuple[Path, ...]:
    """Write files, each beside its place first and then renamed, when all are written.

    Parameters
    ----------
    folder : Path
        Made if missing.
    contents : mapping from a file's name
        Bytes, or text that is written as UTF-8 with its line ends as they are.
    ours : iterable of str
        Names of the files that any such run may write. Those that this one does not write are
        taken away when ``replace`` is set, so that none is left of an earlier run.
    replace : bool
        Whether files of these names may be written over.

    Returns
    -------
    tuple of Path, in the order of ``contents``

    Raises
    ------
    OutputError
        Files of these names are there and ``replace`` is not set, or the folder or a file
        can't be written. Nothing is half-written then.
    """
    names = list(dict.fromkeys((*contents, *ours)))
    if not replace:
        refuse_taken(folder, names)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        _write_all(folder, contents)
        for name in names:
            if name not in contents:
                (folder / name).unlink(missing_ok=True)
    except OSError as error:
        raise OutputError(
            f"the folder '{folder}' can't be written to ({error.strerror or error})",
            "name another folder with --out",
        ) from error
    return tuple(folder / name for name in contents)


def _write_all(folder: Path, contents: Mapping[str, bytes | str]) -> None:
    """Write all beside their places, then rename."""
    beside: dict[Path, Path] = {}
    try:
        for name, content in contents.items():
            part = folder / f".{name}.{os.getpid()}.part"
            beside[part] = folder / name
            part.write_bytes(content.encode("utf-8") if isinstance(content, str) else content)
        for place in beside.values():
            if place.is_dir():
                raise IsADirectoryError(21, "a folder has the name of a file", str(place))
        for part, place in beside.items():
            part.replace(place)
    finally:
        for part in beside:
            with contextlib.suppress(OSError):
                part.unlink(missing_ok=True)
