"""The folder that a count is written to: checked before the work begins."""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from catalog.errors import OutputError
from cli.counting.count_plan import PLAN_FILES
from cli.counting.picture_options import USUAL_PICTURES, PictureOptions

CSV_FILES: Final = ("swatches.csv", "sets.csv", "tally.csv", *PLAN_FILES)
PICTURE: Final = re.compile(r"(found|values)(-[0-9]+)?\.jpg")
"""Names that `picture_names` gives."""
_OTHER_FOLDER: Final = "name another folder with --out"


@dataclass(frozen=True)
class OutputOptions:
    """Where files are to be written."""

    out: Path | None
    default_folder: str
    """A new one, called so, where ``out`` is None."""
    replace: bool = False
    """Whether files of an earlier run may be written over."""
    pictures: PictureOptions = USUAL_PICTURES


@dataclass(frozen=True)
class OutputFolder:
    """A folder that may be written to, and what goes there."""

    folder: Path
    photos: int
    """How many are shown with what was found; 0 to write no such pictures."""
    names: tuple[str, ...]
    """Files that such a run may write, pictures among them also where none is asked for: one of an
    earlier run would show what the tables beside it don't say."""
    replace: bool
    pictures: PictureOptions = USUAL_PICTURES


def folder_for(output: OutputOptions, photos: int, more: Sequence[str] = ()) -> OutputFolder:
    """Check where files are to be written before the work begins.

    Parameters
    ----------
    output : OutputOptions
    photos : int
        How many are shown with what was found; 0 to write no such pictures.
    more : sequence of str
        Names of further files that will be.

    Raises
    ------
    OutputError
        The folder can't be made or written to, or files of an earlier run are there.
    """
    from catalog.report.output_files import fresh_folder, refuse_taken

    folder = output.out or fresh_folder(Path(output.default_folder))
    check_writable(folder)
    names = (*_ours(folder, photos), *more)
    if not output.replace:
        refuse_taken(folder, names)
    return OutputFolder(folder, photos, names, output.replace, output.pictures)


def picture_names(stem: str, count: int) -> tuple[str, ...]:
    """Name the pictures of several photos: ``found.jpg``, ``found-2.jpg`` and so on."""
    return (f"{stem}.jpg", *(f"{stem}-{number}.jpg" for number in range(2, count + 1)))


def _ours(folder: Path, photos: int) -> tuple[str, ...]:
    """Name the files that are written, and pictures that an earlier run of more photos left."""
    if photos == 0:
        return CSV_FILES
    earlier = sorted(path.name for path in folder.glob("*-*.jpg") if PICTURE.fullmatch(path.name))
    named = (*picture_names("found", photos), *picture_names("values", photos))
    return tuple(dict.fromkeys((*CSV_FILES, *named, *earlier)))


def check_writable(folder: Path) -> None:
    """Refuse a folder that can't be made or written to before the work begins."""
    try:
        nearest = next(place for place in (folder, *folder.absolute().parents) if place.exists())
    except (OSError, ValueError) as error:
        raise OutputError(f"'{folder}' can't be a folder's name", _OTHER_FOLDER) from error
    if not nearest.is_dir():
        raise OutputError(f"'{nearest}' is a file, not a folder", _OTHER_FOLDER)
    if not os.access(nearest, os.W_OK):
        raise OutputError(f"the folder '{nearest}' may not be written to", _OTHER_FOLDER)
