"""How far apart squares are as a person sees them from the wall or in the hand.

By colour it is the difference of their palettes (see `catalog.colour.palette_difference`); by
value that of the same palettes without their colour, by hue that of their hues alone, where the
colour decides between squares of one hue. One measure serves all three, so that they share its
words and limits.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.bundle.family_words import NEUTRAL_BELOW_CHROMA
from catalog.colour import lab
from catalog.colour.ciede2000 import ciede2000
from catalog.colour.palette_difference import moved_palette_differences
from catalog.colour.remembered_differences import (
    MAX_REMEMBERED,
    remembered_difference_matrix,
    remembered_differences,
)
from catalog.colour.shared_differences import shared_differences
from catalog.models import Lab, Likeness, MatchBy, Palette, PaletteColour, SeenFrom, Swatch

Floats = NDArray[np.float64]

HUE_LIGHTNESS: Final = 60.0
HUE_CHROMA: Final = 40.0
"""L* and C*ab at which hues are compared: those of a middling strong colour (choice of ours). Ten
degrees of hue then differ by about 4, and a neutral from any hue by 21 or more, which is more than
any limit that can be set."""
MIN_SPEAKING_CHROMA: Final = NEUTRAL_BELOW_CHROMA / 2.0
"""Mean chroma of a print below which no hue speaks from it (choice of ours): a tenth of it in red
is over that, a thirtieth isn't."""
SHARE_AMONG_ONE_HUE: Final = 0.001
"""Part of their difference in colour that is added to squares' difference in hue, so that of
neutrals, which all have the same hue, the nearest go together (choice of ours): white and black
come to 0.1, as a quarter of a degree of hue does, and what is shown is "too near to tell apart"."""
MAX_STEP_OF_ONE: Final = 1.75
"""The largest step of L* that greys differing by 1 may take: CIEDE2000's own weight of lightness,
1 + 0.015 x 50^2 / sqrt(20 + 50^2), at black and at white."""
VALUE_STEPS: Final = 2 * 100.0 / 7.0
"""L* of two steps of the seven that teachers sort cloth into by value: what lies in them reads as
one value (see `catalog.wall.contrast`)."""
MIN_OF_ONE_VALUE: Final = 2.0 / 3.0
"""Share of a print, as it is seen from the wall, that has to be of one value for it to read light,
medium or dark (choice of ours)."""
MAX_PAIRS: Final = 1 << 19
"""Pairs of one fabric that are compared at once: some 50 MB."""
_NO_HUE: Final[Palette] = (PaletteColour((HUE_LIGHTNESS, 0.0, 0.0), 1.0),)


def difference_matrix(swatches: Sequence[Swatch], likeness: Likeness) -> Floats:
    """Return how far apart all pairs of squares are.

    Parameters
    ----------
    swatches : sequence of Swatch
    likeness : Likeness

    Returns
    -------
    array, (n, n), CIEDE2000, exactly symmetric, 0 on the diagonal
        Of plain squares by colour, that of their mean colours. Two squares surely cut from one
        fabric are no further apart than their mean colours: another part of a large print has
        other shares of its colours, and is still the same cloth. By hue a thousandth of the
        difference in colour is added, which decides between squares of one hue. It may be shared:
        see `catalog.colour.shared_differences`.
    """
    return shared_differences(swatches, likeness, lambda: _worked_out(swatches, likeness))


def _worked_out(swatches: Sequence[Swatch], likeness: Likeness) -> Floats:
    if likeness.match_by == "hue":
        by_colour = _differences(swatches, likeness.matched_by("colour"))
        return _differences(swatches, likeness) + SHARE_AMONG_ONE_HUE * by_colour
    return _differences(swatches, likeness)


def _differences(swatches: Sequence[Swatch], likeness: Likeness) -> Floats:
    palettes = compared_palettes(swatches, likeness)
    matrix = remembered_difference_matrix(palettes, likeness.k_lightness)
    from catalog.bundle.fabrics import surely_of_one_fabric  # slow, and words need none

    if alike := surely_of_one_fabric(swatches):
        plain = np.array(
            [compared_palette((), each.lab, likeness.match_by)[0].lab for each in swatches]
        )
        few = sum(len(places) ** 2 for places in alike) <= MAX_REMEMBERED**2
        between = remembered_differences if few else _differences_between
        for one, two in [_pairs_at_once(alike)] if few else _pairs_in_parts(alike):
            means = between(plain, (one, two), likeness.k_lightness)
            matrix[one, two] = matrix[two, one] = np.minimum(matrix[one, two], means)
    return matrix


def _differences_between(
    colours: Floats, pairs: tuple[NDArray[np.intp], NDArray[np.intp]], k_lightness: float
) -> Floats:
    return ciede2000(colours[pairs[0]], colours[pairs[1]], k_lightness)


def moved_differences(
    swatches: Sequence[Swatch],
    likeness: Likeness,
    moves: Floats,
    pairs: tuple[NDArray[np.intp], NDArray[np.intp]],
) -> Floats:
    """Return how far apart some pairs of squares are when their colours have moved.

    Parameters
    ----------
    swatches : sequence of Swatch
    likeness : Likeness
        By colour or by value.
    moves : array, (times, n, 3)
        CIELAB, by which all colours of a square move each time.
    pairs : tuple of array of int, (m,)
        Places of the squares.

    Returns
    -------
    array, (times, m), as from `difference_matrix`
    """
    by_value = likeness.match_by == "value"
    moves = moves * [1.0, 0.0, 0.0] if by_value else moves
    palettes = compared_palettes(swatches, likeness)
    away = moved_palette_differences(palettes, moves, pairs, likeness.k_lightness)
    from catalog.bundle.fabrics import surely_of_one_fabric  # slow, and words need none

    of = np.full(len(swatches), -1)
    for number, places in enumerate(surely_of_one_fabric(swatches)):
        of[places] = number
    alike = np.flatnonzero((of[pairs[0]] >= 0) & (of[pairs[0]] == of[pairs[1]]))
    plain = np.array([one.lab for one in swatches]) * ([1.0, 0.0, 0.0] if by_value else 1.0)
    step = max(MAX_PAIRS // len(moves), 1)
    for start in range(0, len(alike), step):
        some = alike[start : start + step]
        one, two = (plain[end[some]] + moves[:, end[some]] for end in pairs)
        away[:, some] = np.minimum(away[:, some], ciede2000(one, two, likeness.k_lightness))
    return away


def _pairs_at_once(piles: Sequence[Sequence[int]]) -> NDArray[np.intp]:
    """Return the pairs of places in piles, (2, pairs)."""
    return np.hstack([_pairs_from(np.array(places), 0, len(places)) for places in piles])


def _pairs_in_parts(piles: Sequence[Sequence[int]]) -> Iterator[NDArray[np.intp]]:
    """Yield the same in parts: of thousands of squares of one fabric they take gigabytes."""
    for places in piles:
        step = max(MAX_PAIRS // len(places), 1)
        for start in range(0, len(places) - 1, step):
            yield _pairs_from(np.array(places), start, start + step)


def _pairs_from(places: NDArray[np.intp], start: int, stop: int) -> NDArray[np.intp]:
    """Return the pairs of each of some places and those after it, (2, pairs)."""
    some = places[start:stop]
    first, second = np.nonzero(
        np.arange(start, start + len(some))[:, None] < np.arange(len(places))
    )
    return np.stack([some[first], places[second]])


def seen_lightness(swatch: Swatch, seen_from: SeenFrom) -> float:
    """Return how light a square looks, L*: the mean over what is seen of it from that far."""
    seen = swatch.colours_seen(seen_from)
    if len(seen) == 1:
        return swatch.lab[0]
    return sum(one.lab[0] * one.share for one in seen) / sum(one.share for one in seen)


def reads_busy(swatch: Swatch) -> bool:
    """Tell whether a print has so much of light and of dark in it that it reads as neither."""
    seen = sorted(swatch.colours_seen("wall"), key=lambda one: one.lab[0])
    whole = sum(one.share for one in seen)
    of_one = max(
        sum(two.share for two in seen if 0 <= two.lab[0] - one.lab[0] <= VALUE_STEPS)
        for one in seen
    )
    return of_one < MIN_OF_ONE_VALUE * whole


def reads_as(swatch: Swatch) -> str:
    """Return what a square reads as from across the room: its value, or busy."""
    return "busy" if reads_busy(swatch) else swatch.value


def value_in_words(swatch: Swatch) -> str:
    """Return a square's value, and that it reads busy where it does."""
    return f"{swatch.value}, reads busy" if reads_busy(swatch) else swatch.value


def compared_palettes(swatches: Sequence[Swatch], likeness: Likeness) -> list[Palette]:
    """Return what of each square is compared; of a plain one, its mean colour."""
    return [
        compared_palette(one.colours_seen(likeness.seen_from), one.lab, likeness.match_by)
        for one in swatches
    ]


def compared_palette(seen: Palette, mean: Lab, match_by: MatchBy) -> Palette:
    """Return what is compared of a square that shows some colours, or its mean if one or none."""
    return _SHOWN[match_by](seen if len(seen) > 1 else (PaletteColour(mean, 1.0),))


def _as_it_is(palette: Palette) -> Palette:
    return palette


def _greys(palette: Palette) -> Palette:
    return tuple(PaletteColour((one.lab[0], 0.0, 0.0), one.share) for one in palette)


def _hues(palette: Palette) -> Palette:
    """Return the hues of a palette, each by its share and its strength; none for a neutral."""
    strengths = [float(lab.chroma(one.lab)) for one in palette]
    spoken = [
        (one, one.share * strength)
        for one, strength in zip(palette, strengths, strict=True)
        if strength >= NEUTRAL_BELOW_CHROMA
    ]
    said = sum(weight for _, weight in spoken)
    if said < MIN_SPEAKING_CHROMA:
        return _NO_HUE
    return tuple(PaletteColour(_of_hue(one.lab), weight / said) for one, weight in spoken)


def _of_hue(colour: Lab) -> Lab:
    turn = np.radians(lab.hue_angle(colour))
    return (
        HUE_LIGHTNESS,
        HUE_CHROMA * float(np.cos(turn)),
        HUE_CHROMA * float(np.sin(turn)),
    )


_SHOWN: Final[dict[MatchBy, Callable[[Palette], Palette]]] = {
    "colour": _as_it_is,
    "value": _greys,
    "hue": _hues,
}
