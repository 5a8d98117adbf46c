"""Swatches to which of them are cut from one fabric."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from catalog.bundle.print_likeness import COLOUR_TERMS, NOISE_CONTRAST
from catalog.models import Swatch

Floats = NDArray[np.float64]

MAX_COLOUR_DISTANCE = 3.3
"""CIELAB units between the colours of two squares of one plain fabric, at most."""
COLOUR_PER_MOTIF = 0.08
"""Share by which that grows for each CIELAB unit of contrast in the print's largest waves, those
that fit on a square up to six times: another part of such a print shows other motifs, while any
part of a small one shows the same."""
LARGE_WAVE_BANDS = 3
"""Bands of spatial frequency in a signature, for each of L*, a*, b*, that are of large waves; they
come first."""
MAX_STRUCTURE_DISTANCE = 1.3
"""Difference in the logarithm of contrast, root mean square over the bands, at most."""
MAX_UNLIKENESS = 1.0
"""Colour's and structure's share of what is allowed add up to this at most. The three were chosen
on a plateau of F1 over the 14 dev photos; ten in a hundred more or less of it
cost 0.007 or gain 0.001. Allowing for the spread of all colours instead of the large waves gave
0.980, and two ginghams of one tone became one at the next step."""


def tell_fabrics(swatches: Sequence[Swatch]) -> tuple[Swatch, ...]:
    """Tell which squares are cut from one fabric, by their colours and the print's structure.

    Parameters
    ----------
    swatches : sequence of Swatch
        The whole bundle with its signatures; its order doesn't matter.

    Returns
    -------
    tuple of Swatch
        In the order given, with ``fabric`` set: ``F01`` for the first in reading order, and so on.
    """
    if len(swatches) < 2:
        return tuple(replace(s, fabric="F01") for s in swatches)
    from scipy.cluster.hierarchy import fcluster, linkage
    from scipy.spatial.distance import squareform

    order = sorted(range(len(swatches)), key=lambda i: _reading_key(swatches[i]))
    away = _unlikeness(np.array([swatches[i].signature for i in order], np.float64))
    piles = fcluster(linkage(squareform(away, checks=False), "average"), MAX_UNLIKENESS, "distance")
    names: dict[int, str] = {}
    fabric = {}
    for place, pile in zip(order, piles, strict=True):
        fabric[place] = names.setdefault(int(pile), f"F{len(names) + 1:02d}")
    return tuple(replace(s, fabric=fabric[i]) for i, s in enumerate(swatches))


def _reading_key(swatch: Swatch) -> tuple[bool, int, int, str]:
    row, col = swatch.square.row, swatch.square.col
    return row is None, row or 0, col or 0, swatch.label


def _unlikeness(signatures: Floats) -> Floats:
    """Return how unlike every two signatures are, (n, n); under 1 they pass for one fabric."""
    quantiles, contrasts = signatures[:, :COLOUR_TERMS], signatures[:, COLOUR_TERMS:]
    motifs = (contrasts.reshape(len(signatures), 3, -1)[:, :, :LARGE_WAVE_BANDS] ** 2).sum(
        axis=(1, 2)
    )
    bands = np.log(contrasts + NOISE_CONTRAST)
    apart = np.array([np.abs(quantiles - one).mean(axis=1) for one in quantiles])
    structure = np.array([np.sqrt(((bands - one) ** 2).mean(axis=1)) for one in bands])
    allowed = MAX_COLOUR_DISTANCE * (
        1.0 + COLOUR_PER_MOTIF * np.sqrt((motifs[:, None] + motifs) / 2.0)
    )
    return np.asarray(apart / allowed + structure / MAX_STRUCTURE_DISTANCE)
