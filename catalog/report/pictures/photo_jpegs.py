"""The two pictures of a photo that a count writes, made from it as it is shrunk once."""

from __future__ import annotations

from collections.abc import Sequence

from catalog.models import Photo, SquareSet, Swatch
from catalog.report.pictures.found_picture import draw_found
from catalog.report.pictures.outlines import as_jpeg, shrunk_squares
from catalog.report.pictures.value_picture import draw_values


def photo_jpegs(
    photo: Photo, swatches: Sequence[Swatch], sets: Sequence[SquareSet], *, full: bool = False
) -> tuple[bytes, bytes]:
    """Return `found_picture` and `value_picture` as the bytes of JPEG files."""
    shown = shrunk_squares(photo, swatches, full=full)
    values = as_jpeg(draw_values(shown, sets))  # first: what is found is drawn on the photo itself
    return as_jpeg(draw_found(shown, sets)), values
