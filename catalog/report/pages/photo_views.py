"""A photo with the outlines of its squares, as the report shows it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.models import Photo, Swatch
from catalog.report.pages.html_views import SquareView
from catalog.report.pages.sheet_contents import Sheets
from catalog.report.palette_bars import BarPart
from catalog.report.pictures.crops import PhotoPicture
from catalog.report.set_numbers import darkest_of, numbers_of

Points = NDArray[np.float64]
FOOT: Final = (0.83, 0.93, 0.09)
"""Where the bar of a square's colours lies on it: top and bottom in shares of its height, and what
is left free at each end in shares of its width."""
QUARTER: Final = (0.75, 1.0, 0.0)
"""Likewise the greys of its colours."""


@dataclass(frozen=True)
class Outline:
    """A square on its photo, in pixels of the picture shown."""

    square: SquareView
    points: str
    """Its corners, as SVG writes them."""
    foot_frame: str
    """Corners of a strip along its foot."""
    foot: tuple[tuple[str, str], ...]
    """That strip cut by the shares of its colours: corners and colour of each."""
    quarter: tuple[tuple[str, str], ...]
    """Its lower quarter, cut likewise: corners and grey of each."""
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
    quarter, foot = _strip(corners, *QUARTER), _strip(corners, *FOOT)
    side = float(np.linalg.norm(corners - np.roll(corners, 1, axis=0), axis=1).mean())
    x, y = corners.mean(axis=0)
    return Outline(
        square,
        _points(corners),
        _points(foot),
        tuple((_cut(foot, one), one.colour) for one in square.bar),
        tuple((_cut(quarter, one), one.grey) for one in square.at_wall),
        round(float(x), 1),
        round(float(y) - 0.3 * side, 1),
        round(float(y), 1),
        round(float(quarter.mean(axis=0)[1]), 1),
        round(side, 1),
        number,
        darkest,
    )


def _strip(corners: Points, top: float, low: float, margin: float) -> Points:
    """Return the corners of a strip across a square, from and to shares of its height."""
    left, right = corners[3] - corners[0], corners[2] - corners[1]
    ends = [(corners[0] + share * left, corners[1] + share * right) for share in (top, low)]
    (a, b), (d, c) = (
        (start + margin * (end - start), end - margin * (end - start)) for start, end in ends
    )
    return np.array([a, b, c, d])


def _cut(strip: Points, part: BarPart) -> str:
    """Return the corners of a stretch of a strip, as SVG writes them."""
    ends = (part.start, part.start + part.share)
    above = [strip[0] + share * (strip[1] - strip[0]) for share in ends]
    below = [strip[3] + share * (strip[2] - strip[3]) for share in ends]
    return _points([*above, *below[::-1]])


def _points(corners: Iterable[Points]) -> str:
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in corners)
