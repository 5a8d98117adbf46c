"""How far a square's colour may be off, in itself and with all of its photo."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.bundle.print_likeness import MAX_MEAN_DIFFERENCE, Prints, unlikeness_of_pairs
from catalog.colour import lab
from catalog.colour.ciede2000 import ciede2000
from catalog.colour.light_changes import NINE_TENTHS, moved_by
from catalog.models import Light, Swatch

Floats = NDArray[np.float64]

MEDIAN_OF_TWO = 1.538
"""Standard deviations along each axis that half of such a cloud lies within (the same)."""
MIN_UNCERTAINTY = 0.35
"""CIEDE2000 that no colour is surer than: noise, lens, the camera's sharpening."""
FIELD_ERROR = (0.014, 0.045)
"""Natural logarithm by which the light at a square may be misjudged where it is as the mean, and
what each unit of the logarithm by which it is brighter or dimmer adds. These and the figures below
are standard deviations, chosen together by the tenth of the errors that they leave out (quantile
regression over 23 photos; `tests/bench/doubts.py` prints what comes of them, also where the photo
in question is left out)."""
FIELD_EDGE_ERROR = 0.067
"""The same for each unit by which the light varies over the square and round it, as at a shadow's
edge."""
TINT_SHARE = 0.3
"""Of an error of the light at a square, how much is one of its tint."""
CHROMA_ERROR = 0.047
"""Share of its chroma by which a colour may be too strong or too weak: the camera's saturation."""
TONE_ERROR = 0.05
"""Exponent of light, beside the photo's middle, by which the camera's curve may be misjudged."""
STRAY_LIGHT = 0.002
"""Light, of white, that lens and haze may have added to dark cloth."""
SAMPLE, HIDDEN = 0.0625, 0.18
"""Share of the print's spread by which another part of the square differs in the mean, and by which
what is hidden does if all of it is."""
CLIPPING_ERROR = 8.3
"""CIEDE2000 for each unit of the square's share that the camera clipped: what was lost there can't
be told."""
PAIRS_FOR_HALF = 5.0
"""Pairs of squares of one print whose differences count as much as what is usual."""
PAIRS_AT_A_TIME = 1024
"""Pairs whose prints, of 2 KB each, are compared at a time."""
SCATTER_LIMITS = (0.5, 3.0)
"""How much less or more than usual a photo's repeated prints may make its squares' own doubts."""


@dataclass(frozen=True, eq=False)
class ColourEvidence:
    """What the doubt of n squares' colours rests on."""

    light: Floats
    """(n, 2) natural logarithm of the light over each square and half a side beyond, 0 for the
    photo's mean: its mean and its standard deviation."""
    spread: Floats
    """(n,) of the prints, CIEDE2000."""
    shown: Floats
    """(n,) share of each square that is seen."""
    clipped: Floats
    """(n,) share that the camera clipped."""
    as_print: Floats
    """(n,) by how much the colour is another, CIEDE2000, if what was left out as lying on the
    square is its print: 0.4 to 4 for 15 of the 16 squares told as partly covered on 45 photos, and
    17 for one, whose figure it was."""


def light_over(around: NDArray[np.float32]) -> Floats:
    """Return mean and deviation, (n, 2), of the logarithm of light (n, rows, columns, 3)."""
    logs = np.log(np.maximum(around.mean(axis=3), 1e-4)).reshape(len(around), -1)
    return np.stack([logs.mean(axis=1), logs.std(axis=1)], axis=1).astype(np.float64)


def covering(
    swatches: Sequence[Swatch], evidence: ColourEvidence, light: Light
) -> tuple[Floats, Floats]:
    """Return what covers the true colours nine times in ten, in all and of each square alone.

    How much squares of one print differ, in the light that was taken for right, makes their own
    doubts smaller or larger than they are in most photos.

    Parameters
    ----------
    swatches : sequence of Swatch
        All of one photo, with their colours and signatures.
    evidence : ColourEvidence
        Of the same squares.
    light : Light

    Returns
    -------
    tuple of (n,) arrays
        CIEDE2000; the second leaves out what the photo's squares have in common, its white.
    """
    if not swatches:
        return np.zeros(0), np.zeros(0)
    colours = np.array([s.lab for s in swatches])
    shared = moved_by(colours, light.level_doubt, light.tint_doubt)
    placed, fixed = _by_place(colours, evidence), _by_colour(colours, evidence)
    own = np.hypot(placed * scatter(swatches, np.hypot(placed, fixed[1])), np.hypot(*fixed))
    own = np.maximum(NINE_TENTHS * own, evidence.as_print)
    return np.hypot(own, NINE_TENTHS * shared), own


def scatter(swatches: Sequence[Swatch], usual: Floats) -> float:
    """Return how much further squares of one print differ than is usual, as a factor.

    Parameters
    ----------
    swatches : sequence of Swatch
        All of one photo.
    usual : (n,)
        CIEDE2000, root mean square, by which each may be off for reasons that its twin doesn't
        share.
    """
    prints = Prints.of(swatches)
    one, two = np.triu_indices(len(swatches), 1)
    away = ciede2000(prints.labs[one], prints.labs[two])
    near = np.flatnonzero(away < MAX_MEAN_DIFFERENCE)
    some = np.array_split(near, len(near) // PAIRS_AT_A_TIME + 1)
    alike = [unlikeness_of_pairs(prints, one[pairs], two[pairs]) < 1.0 for pairs in some]
    sure = near[np.concatenate(alike)]
    if not len(sure):
        return 1.0
    one, two = one[sure], two[sure]
    apart = away[sure] / np.hypot(usual[one], usual[two])
    seen = max(float(np.median(apart)) * np.sqrt(3.0) / MEDIAN_OF_TWO, 1e-3)
    worth = len(one) / (len(one) + PAIRS_FOR_HALF)
    return float(np.clip(seen**worth, *SCATTER_LIMITS))


def _by_place(colours: Floats, evidence: ColourEvidence) -> Floats:
    """Return what squares may be off by where they lie and by the part of the print they show."""
    mean, deviation = evidence.light.T
    place = FIELD_ERROR[0] + FIELD_ERROR[1] * np.abs(mean) + FIELD_EDGE_ERROR * deviation
    parts = (
        moved_by(colours, place, TINT_SHARE * place),
        SAMPLE * evidence.spread / np.sqrt(np.maximum(evidence.shown, 0.1)),
        np.full(len(colours), MIN_UNCERTAINTY),
    )
    return np.asarray(np.sqrt(np.square(parts).sum(axis=0)))


def _by_colour(colours: Floats, evidence: ColourEvidence) -> tuple[Floats, Floats]:
    """Return what squares may be off by as all of their colour are, and for what isn't seen."""
    linear = np.maximum(lab.lab_to_linear(colours), 1e-4)
    middle = np.median(linear)
    others = (
        colours * (1.0, 1.0 - CHROMA_ERROR, 1.0 - CHROMA_ERROR),
        lab.linear_to_lab(linear + STRAY_LIGHT),
        lab.linear_to_lab(middle * (linear / middle) ** (1.0 + TONE_ERROR)),
    )
    like = np.sqrt(np.square([ciede2000(colours, other) for other in others]).sum(axis=0))
    unseen = np.hypot(
        HIDDEN * evidence.spread * (1.0 - evidence.shown), CLIPPING_ERROR * evidence.clipped
    )
    return np.asarray(like), np.asarray(unseen)
