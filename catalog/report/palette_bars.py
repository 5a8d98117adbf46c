"""A square's palette as a small bar, its ground first, and what a print is like in plain words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from math import isfinite
from statistics import median_low
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.bundle.naming.fabric_colours import of_one_fabric
from catalog.bundle.naming.square_names import kind_of_print
from catalog.colour.colour_names import everyday_words, name_colours
from catalog.colour.lab import lab_to_srgb8
from catalog.lengths import EIGHTH, SIXTEENTH, show_length
from catalog.models import ColourTerms, Palette, PaletteColour, PrintLook, SeenFrom, Swatch

ONE_REPEAT: Final = 0.06
"""Share by which repeats across and down may differ and still be told as one: a sixteenth of an
inch, the finest mark of a ruler, of one inch (choice of ours)."""


@dataclass(frozen=True)
class BarPart:
    """One colour of a bar."""

    start: float
    """Where it begins, of the bar's length, 0-1."""
    share: float
    """How much of the bar's length it takes, 0-1."""
    percent: int
    """Its share in whole numbers; those of one bar add up to 100."""
    colour: str
    """As ``#rrggbb``."""
    grey: str
    """Neutral of its lightness, as ``#rrggbb``."""
    name: str
    ground: bool


Bar = tuple[BarPart, ...]


def palette_bars(
    swatches: Sequence[Swatch],
    seen_from: SeenFrom = "hand",
    terms: ColourTerms | None = "standard",
) -> tuple[Bar, ...]:
    """Return the bar of each square: its mean alone where no palette was kept."""
    return bars_of(tuple(one.colours_seen(seen_from) for one in swatches), terms)


@lru_cache(maxsize=8)
def bars_of(
    palettes: tuple[Palette, ...], terms: ColourTerms | None = "standard"
) -> tuple[Bar, ...]:
    """Return the bar of each palette, none of them empty: its ground, then the largest share first.

    Parameters
    ----------
    palettes : tuple of Palette
        CIELAB D65. The last few are remembered: at 1,000 squares naming takes half a second, and
        most of what is done to a kept bundle changes no colour.
    terms : {"standard", "everyday"}, optional
        What colours are called by; None leaves them without names, for a picture.
    """
    ordered = [sorted(one, key=lambda part: (not part.ground, -part.share)) for one in palettes]
    colours = np.array([part.lab for one in ordered for part in one], np.float64).reshape(-1, 3)
    names = name_colours(colours) if terms else [""] * len(colours)
    if terms == "everyday":
        words = everyday_words()
        names = [words[name] for name in names]
    hexes, greys = (_hexes(shown) for shown in (colours, colours * (1.0, 0.0, 0.0)))
    look = iter(zip(hexes, greys, names, strict=True))
    return tuple(_bar(one, [next(look) for _ in one]) for one in ordered)


def _bar(palette: Sequence[PaletteColour], look: Sequence[tuple[str, str, str]]) -> Bar:
    shares = np.array([one.share for one in palette])
    shares = shares / shares.sum()
    starts = np.cumsum(shares) - shares
    numbers = zip(starts.tolist(), shares.tolist(), _percents(shares), strict=True)
    return tuple(
        BarPart(*number, *shown, one.ground)
        for one, number, shown in zip(palette, numbers, look, strict=True)
    )


def bar_words(bar: Bar) -> str:
    """Say what a bar shows: ``white 48 %, deep pink 30 %, light green 22 %``; one colour alone."""
    return _told([(one.name, one.percent) for one in bar], " %")


def hue_words(bar: Bar, unit: str = " %") -> str:
    """Say it where there is little room, by the last word of each name, which is its hue."""
    return _told([(one.name.split()[-1], one.percent) for one in bar], unit)


def _told(named: Sequence[tuple[str, int]], unit: str) -> str:
    percents: dict[str, int] = {}
    for name, percent in named:
        percents[name] = percents.get(name, 0) + percent
    if len(percents) == 1:
        return named[0][0]
    return ", ".join(f"{name} {percent}{unit}" for name, percent in percents.items())


def print_words(look: PrintLook | None, name: str = "") -> tuple[str, ...]:
    """Say what a print is like: ``large stripe``, ``repeats every 1 1/4 in``, ``runs one way``.

    Nothing is said of a square that was kept without it, of one that is plain, and of what the
    square's name says already.
    """
    if look is None:
        return ()
    told = (kind_of_print(look), _repeat(look), "runs one way" if look.directional else "")
    return tuple(words for words in told if words and words not in name)


def looks_told(swatches: Sequence[Swatch]) -> list[PrintLook | None]:
    """Return how the print of each square is built, with the repeat that its fabric has.

    Squares that are surely of one fabric have one repeat, the median of theirs, the shorter first.
    One that shows none is told without.
    """
    looks = [one.look for one in swatches]
    for places in of_one_fabric(swatches):
        seen = [
            sorted(one.repeat_in) for place in places if (one := looks[place]) and one.repeat_in
        ]
        if len(seen) < 2:
            continue
        short, long = (median_low(each) for each in zip(*seen, strict=True))
        for place in places:
            if (one := looks[place]) and one.repeat_in:
                looks[place] = replace(one, repeat_in=(short, long))
    return looks


def runs_one_way(swatch: Swatch) -> bool:
    """Tell whether a quarter turn of a square shows."""
    return swatch.look is not None and swatch.look.directional


def _repeat(look: PrintLook) -> str:
    """Say after how much a print comes again, however its square was laid in the photo."""
    across, down = (
        one if isfinite(one) and one > 0.0 else 0.0 for one in look.repeat_in or (0.0, 0.0)
    )
    if not across and not down:
        return ""
    if not across or not down or abs(across - down) <= ONE_REPEAT * max(across, down):
        return f"repeats every {_ruler(across or down)}"
    short, long = sorted((across, down))
    return f"repeats every {_ruler(short)} one way and {_ruler(long)} the other"


def _ruler(inches: float) -> str:
    return show_length(Fraction(inches), step=EIGHTH if inches >= 1.0 else SIXTEENTH)


def _percents(shares: NDArray[np.float64]) -> list[int]:
    """Return whole percents that add up to 100, each next to its share."""
    exact = 100.0 * shares
    whole = np.floor(exact).astype(int)
    most_cut = np.argsort(whole - exact, kind="stable")
    whole[most_cut[: 100 - int(whole.sum())]] += 1
    return [int(one) for one in whole]


def _hexes(colours: NDArray[np.float64]) -> list[str]:
    return [f"#{bytes(one).hex()}" for one in lab_to_srgb8(colours)]
