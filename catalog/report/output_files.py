"""Write a run's files into a folder, all of them or none, and nothing of the user's over."""

from __future__ import annotations

import contextlib
import os
import shutil
from collections.abc import Iterable, Mapping, Sequence
from itertools import chain, count
from pathlib import Path

from catalog.errors import OutputError
from catalog.system import atomic_files


def fresh_folder(base: Path) -> Path:
    """Return ``base`` if nothing is there, else the first free of ``base-2``, ``base-3``, ...

    Nothing is made. A folder that holds nothing but what a run that was killed had begun to write
    is cleared away.
    """
    numbered = (base.with_name(f"{base.name}-{number}") for number in count(2))
    return next(folder for folder in chain((base,), numbered) if _is_free(folder))


def _is_free(folder: Path) -> bool:
    """Whether nothing is there, or was but for what a kill left."""
    if not folder.is_symlink() and folder.is_dir() and atomic_files.clear_left(folder):
        with contextlib.suppress(OSError):  # it holds more
            folder.rmdir()
    return not os.path.lexists(folder)


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
        with atomic_files.folder_made(folder):
            atomic_files.clear_left(folder)
            _write_all(folder, contents, [name for name in names if name not in contents])
    except OSError as error:
        raise OutputError(
            f"the folder '{folder}' can't be written to ({error.strerror or error})",
            "name another folder with --out",
        ) from error
    return tuple(folder / name for name in contents)


def _write_all(folder: Path, contents: Mapping[str, bytes | str], gone: Sequence[str]) -> None:
    """Write all beside their places, then put all there and take away what is to be gone."""
    parts = {folder / name: atomic_files.part_of(folder / name) for name in contents}
    try:
        for (place, part), content in zip(parts.items(), contents.values(), strict=True):
            part.write_bytes(content.encode("utf-8") if isinstance(content, str) else content)
            atomic_files.to_disk(part)
            _refuse_folder(place)
        _put_in_place(parts, [folder / name for name in gone])
        atomic_files.folder_to_disk(folder)
    finally:
        _let_go(parts.values())


def _put_in_place(parts: Mapping[Path, Path], gone: Sequence[Path]) -> None:
    """Rename all parts and take away the files that are to be gone; where one fails, none."""
    held = {
        place: atomic_files.old_of(place) for place in (*parts, *gone) if os.path.lexists(place)
    }
    done: list[Path] = []
    try:
        for place, old in held.items():
            _hold(place, old)
        for place, part in parts.items():
            done.append(place)  # before it is, as it may be interrupted between the two
            part.replace(place)
        for place in gone:
            done.append(place)
            place.unlink(missing_ok=True)
    except BaseException:
        for place in done:
            _put_back(place, held.get(place), parts.get(place))
        raise
    finally:
        _let_go(held.values())


def _hold(place: Path, old: Path) -> None:
    """Keep a file under another name too, so that its place is never empty meanwhile."""
    old.unlink(missing_ok=True)
    try:
        os.link(place, old, follow_symlinks=False)
    except (OSError, NotImplementedError):  # a file system without such links
        shutil.copy2(place, old, follow_symlinks=False)


def _put_back(place: Path, old: Path | None, part: Path | None) -> None:
    """Put back what a place held."""
    with contextlib.suppress(OSError):
        if old is not None:
            old.replace(place)
        elif part is not None and not os.path.lexists(part):
            place.unlink(missing_ok=True)


def _refuse_folder(place: Path) -> None:
    if place.is_dir():
        raise IsADirectoryError(21, "a folder has the name of a file", str(place))


def _let_go(files: Iterable[Path]) -> None:
    for one in files:
        with contextlib.suppress(OSError):
            one.unlink(missing_ok=True)
