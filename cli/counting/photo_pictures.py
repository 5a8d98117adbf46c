"""The pictures of a count's photos, drawn on a thread of their own while the count goes on."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING

from catalog.system.beside import begun
from cli.counting.output_folder import OutputFolder, picture_names

if TYPE_CHECKING:
    from catalog.models import Photo, SquareSet, Swatch
    from catalog.report.pictures.photo_jpegs import DrawnSquares


class PhotoPictures:
    """What is found on each photo and its values: begun as far as is known, finished with the sets.

    Where no pictures are asked for there are none.
    """

    def __init__(self, folder: OutputFolder) -> None:
        self._asked = bool(folder.photos) and not folder.pictures.no_pictures
        self._full = folder.pictures.full_pictures
        self._squares: Callable[[], list[DrawnSquares]] = list
        self._files: Callable[[], Mapping[str, bytes]] = dict

    def begin(self, photos: Sequence[Photo], swatches: Sequence[Swatch]) -> None:
        """Begin to draw what the squares show by themselves."""
        if self._asked:
            self._squares = begun(partial(_with_squares, photos, swatches, self._full))

    def add_sets(self, sets: Sequence[SquareSet]) -> None:
        """Begin to draw the sets too."""
        if self._asked:
            self._files = begun(partial(_with_sets, self._squares, sets))

    def files(self) -> Mapping[str, bytes]:
        """Return the JPEG files by name."""
        return self._files()


def _with_squares(
    photos: Sequence[Photo], swatches: Sequence[Swatch], full: bool
) -> list[DrawnSquares]:
    from catalog.report.pictures.photo_jpegs import draw_squares

    return [draw_squares(photo, swatches, full=full) for photo in photos]


def _with_sets(
    squares: Callable[[], list[DrawnSquares]], sets: Sequence[SquareSet]
) -> Mapping[str, bytes]:
    from catalog.report.pictures.photo_jpegs import jpegs_of

    found, values = zip(*(jpegs_of(one, sets) for one in squares()), strict=True)
    names = (picture_names(stem, len(found)) for stem in ("found", "values"))
    return {
        name: picture
        for named, pictures in zip(names, (found, values), strict=True)
        for name, picture in zip(named, pictures, strict=True)
    }
