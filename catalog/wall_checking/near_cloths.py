"""Which cloths of a bundle can't be told apart on the wall."""

from __future__ import annotations

import numpy as np

from catalog.colour.ciede2000 import ciede2000_matrix
from catalog.wall_checking.cloth_features import ClothsInHand

NEAR = 3.0
"""CIEDE2000 between two cloths' means below which a photo in other light doesn't tell them apart:
what light and camera leave is one to two (tests/bench/wall_checks.py)."""
NEAR_SPREAD = 4.0
"""The same of how much their colours spread: above it two prints of one mean are told apart."""
LARGE_IN2 = 9.0
"""Square inches over which cloths are compared."""


def near_cloths(cloths: ClothsInHand) -> dict[tuple[str, str], bool]:
    """Return the pairs of labels, both ways round, whose cloths look alike.

    Parameters
    ----------
    cloths : ClothsInHand
    """
    if not cloths.cloths:
        return {}
    seen = cloths.features(LARGE_IN2).mean
    alike = ciede2000_matrix(seen[:, :3]) < NEAR
    spread = seen[:, 3:]
    alike &= np.abs(spread[:, None] - spread).max(axis=-1) < NEAR_SPREAD
    labels = [cloth.label for cloth in cloths.cloths]
    return {(labels[i], labels[j]): True for i, j in np.argwhere(alike) if i != j}
