"""The parts of a bundle as the report's templates show them: words, places and numbers only."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from catalog.bundle.square_differences import value_in_words
from catalog.colour.ciede2000 import as_shown
from catalog.cutting.plans import CutRow
from catalog.lengths import SIXTEENTH, show_length
from catalog.models import ColourTerms, SquareSet, Swatch
from catalog.report.pages.sheet_contents import Sheets
from catalog.report.palette_bars import (
    Bar,
    bar_words,
    hue_words,
    looks_told,
    palette_bars,
    print_words,
)
from catalog.report.tables.csv_tables import in_words, look_again

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
    """Id in the page of its cloth with the bars of its colours."""
    bar: Bar
    """Its colours as seen in the hand."""
    at_wall: Bar
    """Its colours as they hang, whose greys are what its value is judged by."""
    shares: str
    """Its colours and their shares in words."""
    hues: str
    """Likewise where there is little room."""
    name: str
    look: tuple[str, ...]
    """What its print is like, as far as its name doesn't say it."""
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


def square_views(
    swatches: Sequence[Swatch],
    marks: Mapping[str, Sequence[str]],
    terms: ColourTerms = "standard",
) -> dict[str, SquareView]:
    """Return the squares' words and colours, by label.

    Parameters
    ----------
    swatches : sequence of Swatch
    marks : mapping from label to sequence of str
        Why no set may use a square.
    terms : {"standard", "everyday"}
        What colours are called by.
    """
    bars = zip(
        palette_bars(swatches, terms=terms), palette_bars(swatches, "wall", terms), strict=True
    )
    looks = looks_told(swatches)
    return {
        one.label: SquareView(
            one.label,
            f"s{number}",
            *own,
            bar_words(own[0]),
            hue_words(own[0]),
            one.colour_name,
            print_words(looks[number], one.colour_name),
            value_in_words(one),
            round(one.lab[0]),
            (*((one.role,) if one.role else ()), *marks.get(one.label, ())),
            tuple(look_again(one)),
        )
        for number, (one, own) in enumerate(zip(swatches, bars, strict=True))
    }


def meanings(flags: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """Return the doubts among flags whose words need saying more of, each once."""
    told = sorted(set(flags) & FLAG_WORDS.keys())
    return tuple((flag, FLAG_WORDS[flag]) for flag in told)


def set_view(one: SquareSet, sheets: Sheets, squares: Mapping[str, SquareView]) -> SetView:
    """Return a set's words; squares that aren't in the bundle are left out."""
    remarks = list(one.flags)
    if one.same_fabric:
        remarks.append("all of one fabric")
    elif one.same_fabric is None:
        remarks.append("perhaps of one fabric: the photo can't tell")
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
