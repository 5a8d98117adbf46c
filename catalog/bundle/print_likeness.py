"""How like the prints of swatches are, whatever light each of them was measured in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.colour.ciede2000 import ciede2000
from catalog.models import Swatch

Floats = NDArray[np.float64]
Numbers = NDArray[np.intp]

QUANTILES = 16
COLOUR_TERMS = 13 * QUANTILES
"""First part of a signature: quantiles of the print's colours along several directions."""
PRINT_TERMS = COLOUR_TERMS + 3 * 7
"""What comes before a signature's last part: colours and then the print's structure, contrasts of
L*, a*, b* in bands of spatial frequency. The last part is what the fabric network says; bundles
kept by older versions have none."""
LOOK_TERMS = 65
"""Numbers of that last part."""
NOISE_CONTRAST = 0.3
"""CIELAB units of contrast below which a band of the print's structure is noise."""
COLOUR_TOLERANCE = (1.2, 0.12)
"""CIELAB units by which the colours of one print may differ, their means set equal: a fixed part
and a share of the print's spread."""
STRUCTURE_TOLERANCE = 0.5
"""Difference in the logarithm of contrast, root mean square over bands, that one print may show."""
MAX_MEAN_DIFFERENCE = 16.0
"""CIEDE2000 between the means by which two lights may have parted one print."""
MIN_PRINT_SPREAD = 1.5
"""CIELAB units of spread from which a print can be known again; plains say too little."""


@dataclass(frozen=True, eq=False)
class Prints:
    """What is left of n swatches' signatures without their mean colours."""

    labs: Floats
    """(n, 3) the means."""
    colours: Floats
    """(n, 208) quantiles along 13 directions, those of each about their mean."""
    spread: Floats
    """(n,) CIELAB units."""
    bands: Floats
    """(n, 21) natural logarithms of the structure's contrasts."""

    @classmethod
    def of(cls, swatches: Sequence[Swatch]) -> Prints:
        """Return what swatches have, with their signatures."""
        signatures = np.array([s.signature[:PRINT_TERMS] for s in swatches], np.float64)
        signatures = signatures.reshape(len(swatches), PRINT_TERMS)
        colours = signatures[:, :COLOUR_TERMS].reshape(-1, COLOUR_TERMS // QUANTILES, QUANTILES)
        centred = colours - colours.mean(axis=2, keepdims=True)
        return cls(
            np.array([s.lab for s in swatches]).reshape(-1, 3),
            centred.reshape(len(swatches), COLOUR_TERMS),
            centred[:, :3].std(axis=2).mean(axis=1),
            np.log(signatures[:, COLOUR_TERMS:] + NOISE_CONTRAST),
        )


def unlikeness_of_pairs(prints: Prints, one: Numbers, two: Numbers) -> Floats:
    """Return how unlike prints are, (k,): under 1 they are one, infinite where too plain.

    Parameters
    ----------
    prints : Prints
    one, two : (k,) int
        Places of each pair among them.
    """
    weaker = np.minimum(prints.spread[one], prints.spread[two])
    apart = np.abs(prints.colours[two] - prints.colours[one]).mean(axis=1)
    structure = np.sqrt(((prints.bands[two] - prints.bands[one]) ** 2).mean(axis=1))
    away = ciede2000(prints.labs[one], prints.labs[two])
    unlike = apart / colour_tolerance(weaker) + structure / STRUCTURE_TOLERANCE
    known = (away < MAX_MEAN_DIFFERENCE) & (weaker > MIN_PRINT_SPREAD)
    return np.asarray(np.where(known, unlike, np.inf))


def colour_tolerance(spread: Floats) -> Floats:
    """Return by how many CIELAB units the colours of one print may differ, by its spread."""
    return COLOUR_TOLERANCE[0] + COLOUR_TOLERANCE[1] * spread
