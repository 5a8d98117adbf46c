"""The first photo of a count, read and looked at while most of what is to follow is being imported.

Whatever is wrong with the photo is told where it is asked for, and with the rest of what was typed
before.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Final

from catalog.system.beside import begun

if TYPE_CHECKING:
    from catalog.finding.detector import Detections
    from catalog.finding.early_look import EarlyLook
    from catalog.models import Photo

HEIF: Final = (".heic", ".heif", ".hif")
ENDINGS: Final = (".jpg", ".jpeg", ".png", ".webp", ".tif", ".tiff", *HEIF)
"""Of files that are taken for photos before anything else is known of them."""
NEEDED_LATER: Final = (
    "catalog.report.pictures.photo_jpegs",
    "catalog.report.tables.csv_tables",
    "scipy",
)
"""What a count needs after its squares are found: imported beside the compiled code that looks for
them, as later nothing would be done beside it."""
TABLE_ON_CONSOLE: Final = ("rich.console", "cli.tables")
"""What tells the count, unless it is told in another way."""
_looks: Final[dict[Path, EarlyLook]] = {}


def look_early(words: Sequence[str]) -> None:
    """Begin to read the first photo that is named among what was typed, and to look at it."""
    for word in () if "--help" in words else words:
        if word.lower().endswith(ENDINGS) and os.path.isfile(word):  # noqa: PTH113
            _begin(Path(word))
            return


def looks_begun(photos: Sequence[Path], *, with_table: bool) -> Callable[[Path], EarlyLook | None]:
    """Return what gives, once, what was begun of a photo; of the first it is begun from now on.

    Parameters
    ----------
    photos : sequence of Path
    with_table : bool
        Whether a table will be drawn on the console, so that what draws it is imported meanwhile.
    """
    if photos[0] not in _looks:
        _begin(photos[0])
    look = _looks.pop(photos[0])
    later = (*NEEDED_LATER, *(TABLE_ON_CONSOLE if with_table else ()))
    begun_of = {photos[0]: replace(look, detections=partial(_imported, later, look.detections))}
    return lambda path: begun_of.pop(path, None)


def _begin(photo: Path) -> None:
    """Begin to read and to look at a photo, once what that takes is imported.

    Imported on another thread it would take turns with all that is imported here, twice as long.
    """
    decoders = ("cv2", "PIL.Image", *(["pillow_heif"] if photo.suffix.lower() in HEIF else []))
    for module in ("numpy", *decoders, "catalog.photo"):
        import_module(module)
    reading = begun(partial(_read, photo))
    from catalog.finding.early_look import begin_look

    _looks[photo] = begin_look(reading)


def _read(photo: Path) -> Photo:
    from catalog.photo import read_photo

    return read_photo(photo)


def _imported(modules: Sequence[str], detections: Callable[[], Detections]) -> Detections:
    """Import modules, then wait for what the detector sees."""
    for module in modules:
        import_module(module)
    return detections()
