"""The parts of a bundle as the report's templates show them: words, places and numbers only."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.colour.ciede2000 import as_shown
from catalog.colour.lab import lab_to_hex
from catalog.cutting.plans import CutRow
from catalog.lengths import SIXTEENTH, show_length
from catalog.models import Photo, SquareSet, Swatch
from catalog.report.pages.sheet_contents import Sheets
from catalog.report.pictures.crops import PhotoPicture
from catalog.report.set_numbers import darkest_of, numbers_of
from catalog.report.tables.csv_tables import in_words, joined_flags

FLAG_WORDS: Final[Mapping[str, str]] = {
    "could change": "a close call that the photo can't settle: lay them side by side in daylight",
    "far apart": "differ by more than you allow",
    "locked": "you put these together",
    "not counted": "too far apart to be a match, or more than is asked for",
    "odd size": "not of the bundle's size",
    "partly covered": "something lies on it",
    "same fabric": "of one fabric, which you wanted to avoid",
    "side not seen": "a side of it is hidden",
    "unsure": "it may be no square",
    "value step": "lighter and darker by another step than you asked for",
}
"""Doubts as the other stages call them, and what they mean."""
NEARLY_ONE_TONE: Final = 1.0
"""L* below which two squares are called of one value: half of observers see no difference of 0.8
(R. Paravina and others, J. Esthet. Restor. Dent. 27, 2015)."""

TURNS: Final = {
    0: "as it is",
    90: "a quarter turn to the right",
    180: "half a turn",
    270: "a quarter turn to the left",
}


@dataclass(frozen=True)
class SquareView:
    """A square as it is shown wherever it stands."""

    label: str
    picture: str
    """Id of its picture in the page; empty where there is none."""
    colour: str
    """Its mean, ``#rrggbb``."""
    grey: str
    """Neutral of its lightness, ``#rrggbb``."""
    name: str
    value: str
    lightness: int
    marks: tuple[str, ...]
    doubts: tuple[str, ...]


@dataclass(frozen=True)
class SetView:
    """A set as it is shown."""

    number: int
    squares: tuple[SquareView, ...]
    """Darkest first."""
    difference: str
    step: str
    need: str
    places: tuple[str, ...]
    remarks: tuple[str, ...]


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


def square_view(swatch: Swatch, picture: str, marks: Sequence[str]) -> SquareView:
    """Return a square's words and colours."""
    lightness = swatch.lab[0]
    return SquareView(
        swatch.label,
        picture,
        lab_to_hex(swatch.lab),
        lab_to_hex((lightness, 0.0, 0.0)),
        swatch.colour_name,
        swatch.value,
        round(lightness),
        (*((swatch.role,) if swatch.role else ()), *marks),
        tuple(joined_flags(swatch)),
    )


def meanings(flags: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """Return the doubts among flags whose words need saying more of, each once."""
    told = sorted(set(flags) & FLAG_WORDS.keys())
    return tuple((flag, FLAG_WORDS[flag]) for flag in told)


def set_view(one: SquareSet, sheets: Sheets, squares: Mapping[str, SquareView]) -> SetView:
    """Return a set's words; squares that aren't in the bundle are left out."""
    remarks = list(one.flags)
    if one.same_fabric:
        remarks.append("all of one fabric")
    return SetView(
        one.number,
        tuple(squares[label] for label in one.swatches if label in squares),
        difference_words(one),
        step_words(one.value_step),
        one.need,
        sheets.places.get(one.number, ()),
        tuple(remarks),
    )


def difference_words(one: SquareSet) -> str:
    """Return a set's difference in words and as a number."""
    if not math.isfinite(one.difference):
        return "their difference isn't known"
    return f"{in_words(one)} ({as_shown(one.difference):.1f})"


def step_words(step: float) -> str:
    """Return what a step of L* is from the darkest to the lightest."""
    if not math.isfinite(step):
        return ""
    return "of one value" if step < NEARLY_ONE_TONE else f"from dark to light by {step:.0f} of 100"


def turn_words(turn: int) -> str:
    """Return how a block is turned, from degrees clockwise."""
    return TURNS.get(turn % 360, f"{turn} degrees to the right")


def size_words(cut: CutRow) -> str:
    """Return a piece's size, one side of a square."""
    wide, long = (length_words(side) for side in (cut.width, cut.length))
    return wide if cut.width == cut.length else f"{wide} x {long}"


def length_words(length: Fraction) -> str:
    """Return a length as a ruler shows it, to the nearest sixteenth where it lies on no mark."""
    exact = not length % Fraction(1, 64)
    return show_length(length, step=None if exact else SIXTEENTH)


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
