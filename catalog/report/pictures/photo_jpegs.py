"""The two pictures of a photo that a count writes, made from it as it is shrunk once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from catalog.models import Photo, SquareSet, Swatch
from catalog.report.pictures.found_picture import draw_found
from catalog.report.pictures.outlines import Pixels, Shown, as_jpeg, draw_numbers, shrunk_squares
from catalog.report.pictures.value_picture import draw_values


@dataclass(frozen=True, eq=False)
class DrawnSquares:
    """A photo at the size that it is drawn in, and its values without any sets."""

    shown: Shown
    values: Pixels


def draw_squares(photo: Photo, swatches: Sequence[Swatch], *, full: bool = False) -> DrawnSquares:
    """Draw as much of the pictures as is known before there are sets.

    Parameters
    ----------
    photo : Photo
    swatches : sequence of Swatch
        As they were measured; what fabrics and families they are of isn't shown.
    full : bool
        Whether as large as the photo is.
    """
    shown = shrunk_squares(photo, swatches, full=full)
    return DrawnSquares(shown, draw_values(shown, ()))


def jpegs_of(drawn: DrawnSquares, sets: Sequence[SquareSet]) -> tuple[bytes, bytes]:
    """Return what was found and the values as the bytes of JPEG files, once for each photo.

    They are drawn on what was drawn before.
    """
    draw_numbers(drawn.values, sets, drawn.shown[2])
    return as_jpeg(draw_found(drawn.shown, sets)), as_jpeg(drawn.values)
