"""The colour of a square that tells where it would be looked for first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.bundle.family_words import NEUTRAL_BELOW_CHROMA
from catalog.bundle.naming.print_colours import PrintColour, print_colours
from catalog.colour import lab
from catalog.colour.colour_names import NEUTRALS
from catalog.models import Lab, Swatch

MAX_HUE_STEP: Final = 36.0
"""Degrees of hue up to which a print's colours speak together: from one of Munsell's ten principal
hues to the next."""
GROUND_WEIGHT: Final = 0.7
"""How much a ground's colour counts beside its figures', share for share: one looks at figures
(choice of ours)."""
MIN_PROMINENCE: Final = 2.0
"""Share times chroma beyond the neutrals' from which a print's hue speaks: a tenth of a middling
colour, C*ab 28, or a twentieth of a vivid one (choice of ours)."""
MIN_SPEAKING_SHARE: Final = 0.04
"""Share of a square below which a colour neither speaks nor is named: of a square of 5 inches that
is a patch of one inch (choice of ours)."""
MIN_HUE_SHARE: Final = 0.6
"""Share of a print's prominence that colours speaking together have to make up; else it is
multicoloured. At a half, 12 in 100 pairs of prints cut from one fabric went to two families by the
palettes of 23 photos with truth, 7 here; at 0.7, 5, and half of all florals more were no hue's."""


MIN_HALF: Final = 0.35
"""Share from which one of two neutrals is as good as half of a print: on 19 squares of a striped
cloth, photographed twice, black took up 0.47 to 0.53 and white 0.37 to 0.53."""
_NEUTRAL_WORDS: Final = frozenset(name.split()[-1] for name in NEUTRALS)


@dataclass(frozen=True)
class TellingColour:
    """Where a square would be looked for first."""

    lab: Lab
    """Mean of the colours that speak with the most telling one, by how much each speaks."""
    name: str
    """Of the most telling one, by the ISCC-NBS system; the square's own name has it too."""
    multicoloured: bool = False
    """Whether it has several hues, none of which speaks before the others."""


@dataclass(frozen=True)
class SpeakingHue:
    """What speaks in the colours of a print."""

    hue: float | None
    """Degrees; None where none speaks."""
    several: bool = False
    """Whether others together speak nearly as much."""


def telling_colours(swatches: Sequence[Swatch]) -> list[TellingColour]:
    """Return for each square where it would be looked for first.

    That is among its most prominent chromatic colours; among the neutrals where none speaks. A
    plain square has its mean. Prints of one fabric, where that is told, are looked for by one hue
    as far as each of them shows it.
    """
    several = print_colours(swatches)
    prints: dict[str, list[int]] = {}
    for place, (swatch, colours) in enumerate(zip(swatches, several, strict=True)):
        if len(colours) > 1 and swatch.fabric:
            prints.setdefault(swatch.fabric, []).append(place)
    shared = {}
    for places in prints.values():
        speaks = _speaking([one for place in places for one in several[place]], len(places))
        shared.update(dict.fromkeys(places, speaks))
    known: dict[tuple[int, int], TellingColour] = {}
    told = []
    for place, colours in enumerate(several):
        fabrics = shared.get(place)
        # Squares of one fabric have the very same colours: told once, as comparing these is slow.
        same = id(colours), id(fabrics)
        if same not in known:
            known[same] = telling_colour(colours, fabrics)
        told.append(known[same])
    return told


def telling_colour(
    colours: Sequence[PrintColour], fabrics: SpeakingHue | None = None
) -> TellingColour:
    """Return where a square of these colours, largest share first, would be looked for.

    By what speaks in its fabric, where that is given and speaks in the square as well.
    """
    told = prominence(colours)
    own = _speaking(colours)
    speaks = fabrics if fabrics is not None and _holds(fabrics, colours, told) else own
    if len(colours) == 1 or speaks.hue is None:
        return _quiet(colours)
    near = _beside(colours, own.hue if speaks.several and own.hue is not None else speaks.hue, told)
    first = colours[int(np.where(near, told, -1.0).argmax())]
    mean = np.average([one.lab for one in colours], axis=0, weights=told * near)
    lightness, a, b = (float(value) for value in mean)
    return TellingColour((lightness, a, b), first.name, speaks.several)


def prominence(colours: Sequence[PrintColour]) -> NDArray[np.float64]:
    """Return how much the hue of each colour speaks, (n,): share times chroma, figures first.

    One that is called white, gray or black doesn't, however its name begins.
    """
    vivid = np.maximum(lab.chroma([one.lab for one in colours]) - NEUTRAL_BELOW_CHROMA, 0.0)
    weights = [
        one.share * _may_speak(one) * (GROUND_WEIGHT if one.ground else 1.0) for one in colours
    ]
    return np.asarray(vivid * weights, np.float64)


def of_one_hue(colours: Sequence[PrintColour]) -> NDArray[np.bool_]:
    """Return which colours, (n,), speak together: of one's hue or beside it, where most is said."""
    hue, told = _speaking(colours).hue, prominence(colours)
    return told > 0.0 if hue is None else _beside(colours, hue, told)


def _speaking(colours: Sequence[PrintColour], squares: int = 1) -> SpeakingHue:
    """Return what speaks in the colours of a square, or of several taken together."""
    ordered = sorted(colours, key=lambda one: (one.lab, one.share, one.ground))
    told = prominence(ordered) / squares
    hues = np.asarray(lab.hue_angle([one.lab for one in ordered]))
    sums = _sums_beside(hues, told)
    best = int(sums.argmax())
    if sums[best] < MIN_PROMINENCE:
        return SpeakingHue(None)
    return SpeakingHue(float(hues[best]), bool(sums[best] < MIN_HUE_SHARE * told.sum()))


def _sums_beside(hues: NDArray[np.float64], told: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return for each hue, (n,), what is told by those up to `MAX_HUE_STEP` from it, itself too.

    A fabric of a thousand squares has tens of thousands of colours, of which no table of pairs can
    be made: they are sorted once round the circle, and sums are taken between two places.
    """
    order = np.argsort(hues, kind="stable")
    around = np.concatenate([hues[order] + turn for turn in (-360.0, 0.0, 360.0)])
    sums = np.concatenate([[0.0], np.cumsum(np.tile(told[order], 3))])
    first = np.searchsorted(around, hues - MAX_HUE_STEP, "left")
    behind = np.searchsorted(around, hues + MAX_HUE_STEP, "right")
    return np.asarray(sums[behind] - sums[first])


def _holds(fabrics: SpeakingHue, colours: Sequence[PrintColour], told: NDArray[np.float64]) -> bool:
    """Tell whether what speaks in a fabric speaks in one square of it too."""
    if fabrics.hue is None:
        return True
    if fabrics.several:
        return bool((told[~of_one_hue(colours)] > 0.0).any())
    return bool(told[_beside(colours, fabrics.hue, told)].sum() >= MIN_PROMINENCE)


def _beside(
    colours: Sequence[PrintColour], hue: float, told: NDArray[np.float64]
) -> NDArray[np.bool_]:
    """Return which colours, (n,), speak and have this hue or one beside it."""
    hues = np.asarray(lab.hue_angle([one.lab for one in colours]))
    return np.asarray((_steps(hues, hue) <= MAX_HUE_STEP) & (told > 0.0))


def _steps(hues: NDArray[np.float64], others: NDArray[np.float64] | float) -> NDArray[np.float64]:
    """Return by how many degrees hues differ, 0-180."""
    return np.asarray(np.abs((hues - others + 180.0) % 360.0 - 180.0))


def _may_speak(one: PrintColour) -> bool:
    return one.share >= MIN_SPEAKING_SHARE and one.name.split()[-1] not in _NEUTRAL_WORDS


def _quiet(colours: Sequence[PrintColour]) -> TellingColour:
    """Return where a square is looked for whose hues don't speak.

    By its ground, else by the darkest that is as good as half of it: black on white and white on
    black is one print. A print's black is black, however it is tinged.
    """
    ground = [one for one in colours if one.ground]
    large = [one for one in colours if one.share >= MIN_HALF]
    one = min(ground or large or colours[:1], key=lambda one: one.lab)
    black = len(colours) > 1 and one.name.endswith(NEUTRALS[0])
    return TellingColour((one.lab[0], 0.0, 0.0) if black else one.lab, one.name)
