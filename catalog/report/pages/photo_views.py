"""A photo with the outlines of its squares, as the report shows it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.models import Photo, Swatch
from catalog.report.pages.html_views import SquareView
from catalog.report.pages.sheet_contents import Sheets
from catalog.report.pictures.crops import PhotoPicture
from catalog.report.set_numbers import darkest_of, numbers_of


@dataclass(frozen=True)
class Outline:
    """A square on its photo, in pixels of the picture shown."""

    square: SquareView
    points: str
    """Its corners, as SVG writes them."""
    lower: str
    """Its lower quarter."""
    x: float
    top: float
    """Height of its label's middle."""
    middle: float
    low: float
    """Height of the middle of its lower quarter."""
    side: float
    number: str | None
    """Of its set, or of its sets."""
    darkest: bool


@dataclass(frozen=True)
class PhotoView:
    """A photo and what is drawn on it."""

    name: str
    picture: str
    wide: int
    high: int
    outlines: tuple[Outline, ...]


def photo_view(
    photo: Photo, shown: PhotoPicture, name: str, sheets: Sheets, squares: Mapping[str, SquareView]
) -> PhotoView:
    """Return a photo's outlines, scaled to the picture of it that is shown."""
    numbers, darkest = numbers_of(sheets.sets), darkest_of(sheets.sets)
    outlines = tuple(
        _outline(one, shown, squares[one.label], numbers.get(one.label), one.label in darkest)
        for one in sheets.swatches
        if one.photo == photo.name
    )
    return PhotoView(photo.name, name, shown.wide, shown.high, outlines)


def _outline(
    swatch: Swatch, shown: PhotoPicture, square: SquareView, number: str | None, darkest: bool
) -> Outline:
    corners = (np.array(swatch.square.corners) - (shown.left, shown.top)) * shown.scale
    lower = (corners[3] + (corners[0] - corners[3]) / 4, corners[2] + (corners[1] - corners[2]) / 4)
    side = float(np.linalg.norm(corners - np.roll(corners, 1, axis=0), axis=1).mean())
    x, y = corners.mean(axis=0)
    return Outline(
        square,
        _points(corners),
        _points([lower[0], lower[1], corners[2], corners[3]]),
        round(float(x), 1),
        round(float(y) - 0.3 * side, 1),
        round(float(y), 1),
        round(float(np.mean([*lower, corners[2], corners[3]], axis=0)[1]), 1),
        round(side, 1),
        number,
        darkest,
    )


def _points(corners: Iterable[NDArray[np.float64]]) -> str:
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in corners)
