"""Squares that are surely of one fabric to the colours that they have on the whole."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Final

import numpy as np

from catalog.colour.ciede2000 import ciede2000, ciede2000_matrix
from catalog.models import Palette, PaletteColour, PrintLook, Swatch

MAX_ONE_COLOUR: Final = 6.0
"""CIEDE2000 up to which two colours of a print are called one: so far the middle of a block of NBS
SP 440 lies from the nearest other in the median (``names/iscc_nbs.csv``), so that of nearer ones it
is chance whether they have one name."""
MAX_AVERAGED: Final = 12
"""Squares of one fabric that its colours are taken from, so that a large bundle of few fabrics is
named as fast as others; the doubt of a mean of a dozen is a third of one square's."""
MIN_GROUND_SHARE: Final = 0.5
"""Share of its squares in which a fabric's ground has to be seen to be told."""
ONE_COLOUR: Final = frozenset({"plain", "tonal"})
"""Scales of print that are called by their mean colour."""


def of_one_fabric(swatches: Sequence[Swatch]) -> list[list[int]]:
    """Return the places of squares that are surely of one fabric, two and more together.

    Without those that were kept without a palette: they keep the names that they have; and without
    fabrics of which any square is in doubt.
    """
    from catalog.bundle.fabrics import SEVERAL, surely_of_one_fabric  # slow, and names need none

    unsure = {one.fabric for one in swatches if SEVERAL in one.flags}
    piles = (
        [place for place in places if swatches[place].look]
        for places in surely_of_one_fabric(swatches)
        if swatches[places[0]].fabric not in unsure
    )
    return [places for places in piles if len(places) > 1]


def looks_named(swatches: Sequence[Swatch]) -> list[PrintLook | None]:
    """Return how the print of each square is built, as it is named: of one fabric as most are."""
    looks = [one.look for one in swatches]
    for places in of_one_fabric(swatches):
        counted = Counter((one.scale, one.motif) for place in places if (one := looks[place]))
        if counted:
            scale, motif = min(counted, key=lambda one: (-counted[one], one))
            for place in places:
                looks[place] = PrintLook(scale, motif)
    return looks


def palette_of_fabric(swatches: Sequence[Swatch]) -> Palette:
    """Return the colours of squares of one fabric, on the mean of them.

    It is their mean colour alone where most have no palette, or are plain or tonal. In the order
    of their shares, nearly alike ones joined; the ground is where half of the squares have it.
    """
    prints = [one.palette for one in swatches if one.palette and not _of_one_colour(one)]
    if 2 * len(prints) <= len(swatches):
        lightness, a, b = np.mean(sorted(one.lab for one in swatches), axis=0).tolist()
        return (PaletteColour((lightness, a, b), 1.0, ground=True),)
    return _mean_palette(tuple(sorted(prints, key=_in_order)))


def unlike(palette: Sequence[PaletteColour]) -> Palette:
    """Return a palette in which no two colours are nearly alike."""
    colours = list(palette)
    while len(colours) > 1:
        away = ciede2000_matrix(np.array([one.lab for one in colours]))
        np.fill_diagonal(away, np.inf)
        first, second = sorted(int(place) for place in divmod(int(away.argmin()), len(colours)))
        if away[first, second] > MAX_ONE_COLOUR:
            break
        colours[first] = mixed(colours[first], colours.pop(second))
    return tuple(colours)


def mixed(one: PaletteColour, other: PaletteColour) -> PaletteColour:
    """Return two colours of a palette as one, in the middle of them by their shares."""
    share = one.share + other.share
    lightness, a, b = (
        (one.share * x + other.share * y) / share for x, y in zip(one.lab, other.lab, strict=True)
    )
    return PaletteColour((lightness, a, b), share, one.ground or other.ground)


def _of_one_colour(swatch: Swatch) -> bool:
    return swatch.look is not None and swatch.look.scale in ONE_COLOUR


def _in_order(palette: Palette) -> list[tuple[float, ...]]:
    return [(*one.lab, one.share, one.ground) for one in palette]


@lru_cache(maxsize=1024)
def _mean_palette(palettes: tuple[Palette, ...]) -> Palette:
    """Return the mean of palettes; those of the last bundles are remembered, as names are."""
    few = palettes[:: -(-len(palettes) // MAX_AVERAGED)]
    mean: Palette = ()
    for palette in few:
        part = [replace(one, share=one.share / len(few), ground=False) for one in palette]
        mean = unlike((*mean, *part))
    middles = np.array([one.lab for one in mean])
    grounds = [one.lab for palette in few for one in palette if one.ground]
    seen = np.zeros(len(mean), np.intp)
    for ground in grounds:
        seen[int(ciede2000(np.array(ground), middles).argmin())] += 1
    told = int(seen.argmax()) if seen.max() >= MIN_GROUND_SHARE * len(few) else -1
    marked = [replace(one, ground=place == told) for place, one in enumerate(mean)]
    return tuple(sorted(marked, key=lambda one: (-one.share, one.lab)))
