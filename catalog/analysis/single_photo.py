"""One photo, as bytes, to what it shows; fit to run in another process."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from catalog.errors import CalicountError, PhotoError
from catalog.finding import find_squares
from catalog.image_pyramid import image_pyramid
from catalog.light import estimate_light, without_chart
from catalog.measuring import hints_by_photo, measure
from catalog.models import Found, Light, LightHints, Photo, Swatch
from catalog.photo import decode_photo
from catalog.phrases import printable
from catalog.reference_page.mark_detection import find_page
from catalog.report.pictures.crops import square_pictures

CROP_BYTES: Final = 1 << 16
"""Bytes that a square's picture may take up: more than one ever does at full size."""
NOTHING: Final = Found((), 0.0)

Finder = Callable[[Photo], Found]


@dataclass(frozen=True, eq=False)
class PhotoAnalysis:
    """What one photo gave, without its pixels."""

    name: str
    """Fit to print."""
    digest: str
    """SHA-256 of the file's bytes, hexadecimal."""
    wide: int
    """Pixels of the upright photo; 0 where it can't be read."""
    high: int
    found: Found
    light: Light | None
    """None where no squares were found."""
    swatches: tuple[Swatch, ...]
    """In the order of ``found``, measured in this photo's own light, with labels in its rows."""
    crops: tuple[bytes, ...]
    """A small JPEG of each square, laid flat, in its measured colour."""
    problem: CalicountError | None = None
    """Why the photo can't be read; all else is then empty."""


def analyse_photo(
    content: bytes, name: str, side_in: float, hints: LightHints | None = None
) -> PhotoAnalysis:
    """Find the squares of a photo and measure them in its own light.

    Parameters
    ----------
    content : bytes
        The photo file.
    name : str
        What to call it.
    side_in : float
        What the squares measure, inches.
    hints : LightHints, optional
        What the user says, with labels in this photo's own rows.

    Returns
    -------
    PhotoAnalysis
        With ``problem`` where the photo can't be read or a hint names no square.
    """
    bar = hints.reference_bar if hints else None

    def find(photo: Photo) -> Found:
        return without_chart(photo, find_squares(photo, side_in, bar))

    return _looked(content, name, find, None, hints)


def remeasure_photo(
    content: bytes, name: str, found: Found, light: Light | None, hints: LightHints | None = None
) -> PhotoAnalysis:
    """Measure squares of a photo that are known already.

    Parameters
    ----------
    content, name, hints
        As of `analyse_photo`; the hints are for judging the light.
    found : Found
        The squares, such as a person has put right.
    light : Light or None
        To measure them in; None to judge it anew.
    """

    def known(photo: Photo) -> Found:
        return replace(found, page=found.page or find_page(image_pyramid(photo.pixels)))

    return _looked(content, name, known, light, hints)


def unreadable(name: str, digest: str, problem: CalicountError) -> PhotoAnalysis:
    """Return what a photo gave that gave nothing."""
    return PhotoAnalysis(name, digest, 0, 0, NOTHING, None, (), (), problem)


def _looked(
    content: bytes, name: str, find: Finder, light: Light | None, hints: LightHints | None
) -> PhotoAnalysis:
    name = printable(name)
    digest = hashlib.sha256(content).hexdigest()
    try:
        photo = decode_photo(content, name)
        return _measured(photo, digest, find(photo), light, hints)
    except CalicountError as error:
        return unreadable(name, digest, error)
    except MemoryError:
        problem = f"'{name}' is too large for this computer"
        return unreadable(name, digest, PhotoError(problem, "make it smaller"))


def _measured(
    photo: Photo, digest: str, found: Found, light: Light | None, hints: LightHints | None
) -> PhotoAnalysis:
    high, wide, _ = photo.pixels.shape
    (said,) = hints_by_photo([found], hints or LightHints())
    if not found.squares:
        return PhotoAnalysis(photo.name, digest, wide, high, found, None, (), ())
    light = light or estimate_light(photo, found, said)
    swatches = measure(photo, found, light)
    return PhotoAnalysis(
        photo.name, digest, wide, high, found, light, swatches, _pictures(photo, swatches)
    )


def _pictures(photo: Photo, swatches: Sequence[Swatch]) -> tuple[bytes, ...]:
    """Return each square's small picture; two that a person put in one place are kept apart."""
    numbered = [replace(one, label=str(number)) for number, one in enumerate(swatches)]
    made = square_pictures(numbered, [photo], {}, CROP_BYTES * len(numbered))
    return tuple(made[one.label] for one in numbered)
