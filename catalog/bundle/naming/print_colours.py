"""A square's palette to the colours that a person would count in it, each with its name."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np

from catalog.colour import colour_names
from catalog.colour.ciede2000 import ciede2000_matrix
from catalog.models import Lab, Palette, PaletteColour, Swatch

MAX_ONE_COLOUR: Final = 6.0
"""CIEDE2000 up to which two colours of a print are called one: so far the middle of a block of NBS
SP 440 lies from the nearest other in the median (``names/iscc_nbs.csv``), so that of nearer ones it
is chance whether they have one name."""
ONE_COLOUR: Final = frozenset({"plain", "tonal"})
"""Scales of print that are called by their mean colour."""


@dataclass(frozen=True)
class PrintColour:
    """A colour that a person would count in a square."""

    lab: Lab
    share: float
    """Of the square's cloth, 0-1."""
    ground: bool
    """Whether it lies behind figures of another colour."""
    name: str
    """By the ISCC-NBS system."""


def print_colours(swatches: Sequence[Swatch]) -> Sequence[tuple[PrintColour, ...]]:
    """Return for each square the colours that a person would count in it, largest share first.

    Colours of a palette that are nearly alike or have one name are one. A plain or tonal square,
    and one that was kept without a palette, has its mean colour alone.
    """
    return _named(tuple(_seen(swatch) for swatch in swatches))


@lru_cache(maxsize=8)
def _named(palettes: tuple[Palette, ...]) -> tuple[tuple[PrintColour, ...], ...]:
    """Return the colours in each palette; those of the last few bundles are remembered.

    At 1,000 squares naming takes half a second, and names, families and order ask for it.
    """
    told = [_unlike(palette) for palette in palettes]
    names = iter(colour_names.name_colours([one.lab for several in told for one in several]))
    return tuple(_by_name([(one, next(names)) for one in several]) for several in told)


def _seen(swatch: Swatch) -> Palette:
    scale = swatch.look.scale if swatch.look else ""
    if not swatch.palette or scale in ONE_COLOUR:
        return (PaletteColour(swatch.lab, 1.0, ground=True),)
    return swatch.palette


def _unlike(palette: Palette) -> Palette:
    """Return a palette in which no two colours are nearly alike."""
    colours = list(palette)
    while len(colours) > 1:
        away = ciede2000_matrix(np.array([one.lab for one in colours]))
        np.fill_diagonal(away, np.inf)
        first, second = sorted(int(place) for place in divmod(int(away.argmin()), len(colours)))
        if away[first, second] > MAX_ONE_COLOUR:
            break
        colours[first] = _joined(colours[first], colours.pop(second))
    return tuple(colours)


def _joined(one: PaletteColour, other: PaletteColour) -> PaletteColour:
    share = one.share + other.share
    lightness, a, b = (
        (one.share * x + other.share * y) / share for x, y in zip(one.lab, other.lab, strict=True)
    )
    return PaletteColour((lightness, a, b), share, one.ground or other.ground)


def _by_name(named: Sequence[tuple[PaletteColour, str]]) -> tuple[PrintColour, ...]:
    """Join the colours of a square that have one name."""
    found: dict[str, PaletteColour] = {}
    for colour, name in named:
        found[name] = _joined(found[name], colour) if name in found else colour
    alone = len(found) == 1
    told = [
        PrintColour(one.lab, 1.0 if alone else one.share, one.ground and not alone, name)
        for name, one in found.items()
    ]
    return tuple(sorted(told, key=lambda one: (-one.share, one.lab)))
