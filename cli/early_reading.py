"""The first photo of a count, read while all that will look at it is still being imported.

Whatever is wrong with the photo is told where it is asked for, and with the rest of what was typed
before.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Final

from catalog.system.beside import begun

if TYPE_CHECKING:
    from catalog.models import Photo

HEIF: Final = (".heic", ".heif", ".hif")
ENDINGS: Final = (".jpg", ".jpeg", ".png", ".webp", ".tif", ".tiff", *HEIF)
"""Of files that are taken for photos before anything else is known of them."""
LAST: Final = (
    "catalog.report.pictures.photo_jpegs",
    "catalog.report.tables.csv_tables",
    "rich.console",
    "cli.tables",
)
"""What draws and tells a count: imported beside the compiled code that looks at the photo first, as
at the end nothing would be done beside it."""
SAYS_LITTLE: Final = frozenset({"--json", "--quiet", "--help"})
"""Options of a count that draws no table on the console, or isn't made."""
_being_read: Final[dict[Path, Callable[[], Photo]]] = {}


def read_early(words: Sequence[str]) -> None:
    """Begin to read the first photo that is named among what was typed."""
    for word in words:
        if word.lower().endswith(ENDINGS) and os.path.isfile(word):  # noqa: PTH113
            _begin(Path(word))
            if not SAYS_LITTLE & set(words):
                begun(partial(_import_last, _being_read[Path(word)]))
            return


def reader(photos: Sequence[Path]) -> Callable[[Path], Photo]:
    """Return what gives each photo; the first is being read already, or is from now on."""
    from catalog.photo import read_photo

    if photos[0] not in _being_read:
        _begin(photos[0])
    first = _being_read.pop(photos[0])
    return lambda path: first() if path == photos[0] else read_photo(path)


def _begin(photo: Path) -> None:
    """Begin to read a photo, once what decodes it is imported.

    Imported on the thread it would take turns with all that is imported here, twice as long.
    """
    decoders = ("cv2", "PIL.Image", *(["pillow_heif"] if photo.suffix.lower() in HEIF else []))
    for module in ("numpy", *decoders, "catalog.photo"):
        import_module(module)
    _being_read[photo] = begun(partial(_read, photo))


def _read(photo: Path) -> Photo:
    from catalog.photo import read_photo

    return read_photo(photo)


def _import_last(photo: Callable[[], Photo]) -> None:
    photo()
    for module in LAST:
        import_module(module)
