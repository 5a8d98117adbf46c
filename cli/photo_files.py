"""The photos that a command means: files as named, and those inside folders."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

from catalog.errors import PhotoError, UsageError
from cli.early_reading import ENDINGS


def photo_files(named: Sequence[Path]) -> list[Path]:
    """Return the photo files that are named or lie in a folder that is, each once.

    Files of a folder come in the order of their names, numbers in them as numbers; folders inside
    it are left alone.

    Raises
    ------
    UsageError
        A folder has no photo in it.
    PhotoError
        A folder can't be read.
    """
    found: dict[Path, None] = {}
    for path in named:
        if path.is_dir():
            found.update(dict.fromkeys(_inside(path)))
        else:
            found[path] = None
    return list(found)


def _inside(folder: Path) -> list[Path]:
    try:
        files = [one for one in folder.iterdir() if one.is_file()]
    except OSError as error:
        raise PhotoError(
            f"the folder '{folder}' can't be read ({error.strerror or error})",
            "allow reading it, or name its photos",
        ) from error
    photos = [
        one for one in files if one.suffix.lower() in ENDINGS and not one.name.startswith(".")
    ]
    if not photos:
        raise UsageError(f"the folder '{folder}' has no photos in it", "name another, or photos")
    return sorted(photos, key=lambda one: _by_numbers(one.name))


def _by_numbers(name: str) -> tuple[list[tuple[int, str]], str]:
    parts = re.split(r"(\d+)", name.casefold())
    return [(int(part), "") if part.isdecimal() else (-1, part) for part in parts], name
