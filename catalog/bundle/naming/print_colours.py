"""A square's palette to the colours that a person would count in it, each with its name."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from catalog.bundle.naming.fabric_colours import (
    ONE_COLOUR,
    mixed,
    of_one_fabric,
    palette_of_fabric,
    unlike,
)
from catalog.colour import colour_names
from catalog.models import Lab, Palette, PaletteColour, Swatch


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
    and one that was kept without a palette, has its mean colour alone. Squares that are surely of
    one fabric have what that has on the mean of them, so that all are called alike.
    """
    seen = [_seen(swatch) for swatch in swatches]
    for places in of_one_fabric(swatches):
        mean = palette_of_fabric([swatches[place] for place in places])
        for place in places:
            seen[place] = mean
    return _named(tuple(seen))


@lru_cache(maxsize=8)
def _named(palettes: tuple[Palette, ...]) -> tuple[tuple[PrintColour, ...], ...]:
    """Return the colours in each palette; those of the last few bundles are remembered.

    At 1,000 squares naming takes half a second, and names, families and order ask for it.
    """
    told = {palette: unlike(palette) for palette in dict.fromkeys(palettes)}
    names = iter(
        colour_names.name_colours([one.lab for several in told.values() for one in several])
    )
    named = {
        palette: _by_name([(one, next(names)) for one in several])
        for palette, several in told.items()
    }
    return tuple(named[palette] for palette in palettes)


def _seen(swatch: Swatch) -> Palette:
    scale = swatch.look.scale if swatch.look else ""
    if not swatch.palette or scale in ONE_COLOUR:
        return (PaletteColour(swatch.lab, 1.0, ground=True),)
    return swatch.palette


def _by_name(named: Sequence[tuple[PaletteColour, str]]) -> tuple[PrintColour, ...]:
    """Join the colours of a square that have one name."""
    found: dict[str, PaletteColour] = {}
    for colour, name in named:
        found[name] = mixed(found[name], colour) if name in found else colour
    alone = len(found) == 1
    told = [
        PrintColour(one.lab, 1.0 if alone else one.share, one.ground and not alone, name)
        for name, one in found.items()
    ]
    return tuple(sorted(told, key=lambda one: (-one.share, one.lab)))
