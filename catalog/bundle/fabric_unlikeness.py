"""How unlike the cloth of any two squares is: in colour, in the print's structure, in its look."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.bundle.print_likeness import COLOUR_TERMS, NOISE_CONTRAST, PRINT_TERMS
from catalog.models import Swatch

Rows = NDArray[np.float32]

MAX_COLOUR_DISTANCE = 3.3
"""CIELAB units between the colours of two squares of one plain fabric, at most, chosen on a plateau
of F1 over the 14 dev photos."""
COLOUR_PER_MOTIF = 0.35
"""Share by which that grows for each CIELAB unit of contrast in the print's largest waves, those
that fit on a square up to six times: another part of such a print shows other motifs, while any
part of a small one shows the same. The network's look holds other prints apart."""
LARGE_WAVE_BANDS = 3
"""Bands of spatial frequency in a signature, for each of L*, a*, b*, that are of large waves; they
come first."""
MAX_STRUCTURE_SAY = 0.45
"""Unlikeness that structure can make at most: its difference in the logarithm of contrast, root
mean square over the bands, counts as it is up to there, since a shadow's edge or a crease changes
it too."""
MAX_LOOKS_APART = 8.0
"""Squared distance between two squares' looks, over how far apart pieces of such prints lie, at
which they are two fabrics. The weights of the three are those of a logistic regression on pieces
cut from 360 prints that the network hadn't learnt from, rounded; the README says what else was
chosen with the photos in view."""
USUAL_DOUBT = 2.8
"""CIEDE2000 that covers nine in ten of the differences which misjudged light makes between two
squares of one fabric, in most photos; only what is doubted beyond it is allowed for."""
LOOKS_PER_DOUBT = 0.06
"""Squared distance of looks that a squared unit of CIEDE2000 of misjudged light makes: pieces made
lighter and darker by 1 to 11 have 0.03 to 0.1."""
OLD_COLOUR_PER_MOTIF = 0.08
OLD_STRUCTURE_DISTANCE = 1.3
"""What served for these in bundles of older versions, whose squares have no look."""


@dataclass(frozen=True, eq=False)
class Unlikeness:
    """How unlike every two of n squares are, each (n, n); at 1 and more they are two fabrics."""

    doubted: Rows
    """What both squares' own doubts leave of it."""
    plain: Rows
    """If their colours were as sure as usual."""
    looks: Rows
    """Squared distance of the looks, over how far apart pieces of such prints lie."""


@dataclass(frozen=True, eq=False)
class _Cloths:
    """Signatures taken apart, n of them."""

    colours: Rows
    bands: Rows
    motifs: Rows
    looks: Rows
    spread: Rows
    doubts: Rows


def fabric_unlikeness(swatches: Sequence[Swatch]) -> Unlikeness:
    """Compare every two squares.

    Parameters
    ----------
    swatches : sequence of Swatch
        Two or more, with their signatures and doubts; where one was kept without a look, none is
        compared.
    """
    cloths, count = _cloths(swatches), len(swatches)
    told = np.zeros((3, count, count), np.float32)
    for row in range(count - 1):
        apart = _from_one(cloths, row)
        told[:, row, row + 1 :] = apart
        told[:, row + 1 :, row] = apart
    return Unlikeness(*told)


def _cloths(swatches: Sequence[Swatch]) -> _Cloths:
    told = np.array([s.signature[:PRINT_TERMS] for s in swatches], np.float32)
    looks = [s.signature[PRINT_TERMS:] for s in swatches]
    if not all(map(len, looks)):
        looks = [np.zeros(0, np.float32)] * len(swatches)
    seen = np.array(looks, np.float32)
    contrasts = told[:, COLOUR_TERMS:]
    large = contrasts.reshape(len(told), 3, -1)[:, :, :LARGE_WAVE_BANDS]
    return _Cloths(
        told[:, :COLOUR_TERMS],
        np.log(contrasts + np.float32(NOISE_CONTRAST)),
        np.square(large).sum(axis=(1, 2)),
        seen[:, :-1],
        np.exp(seen[:, -1:]),
        np.array([s.own_uncertainty for s in swatches], np.float32),
    )


def _from_one(cloths: _Cloths, row: int) -> Rows:
    """Return how unlike a square is to all after it, (3, k): as `Unlikeness` has it."""
    after = slice(row + 1, None)
    colour = np.abs(cloths.colours[after] - cloths.colours[row]).mean(axis=1)
    structure = np.sqrt(np.square(cloths.bands[after] - cloths.bands[row]).mean(axis=1))
    motifs = np.sqrt((cloths.motifs[after] + cloths.motifs[row]) / 2.0)
    if not cloths.looks.shape[1]:
        allowed = MAX_COLOUR_DISTANCE * (1.0 + OLD_COLOUR_PER_MOTIF * motifs)
        old = colour / allowed + structure / OLD_STRUCTURE_DISTANCE
        return np.stack([old, old, np.zeros_like(old)])
    looks = np.square(cloths.looks[after] - cloths.looks[row]).sum(axis=1)
    looks /= (cloths.spread[after] + cloths.spread[row])[:, 0]
    beyond = np.square(cloths.doubts[after]) + np.square(cloths.doubts[row]) - USUAL_DOUBT**2
    beyond = np.maximum(beyond, 0.0)
    colour /= 1.0 + COLOUR_PER_MOTIF * motifs
    built = np.minimum(structure, MAX_STRUCTURE_SAY)
    left = np.maximum(looks - LOOKS_PER_DOUBT * beyond, 0.0)
    doubted = colour / np.sqrt(MAX_COLOUR_DISTANCE**2 + beyond) + built + left / MAX_LOOKS_APART
    plain = colour / MAX_COLOUR_DISTANCE + built + looks / MAX_LOOKS_APART
    return np.stack([doubted, plain, looks])
